import { type ComponentChildren, Fragment, isValidElement, type VNode } from 'preact';

/** An element of a picture as its function drew it: what a test asks about. */
export type Drawn = Readonly<{ tag: string; props: Readonly<Record<string, unknown>>; words: string }>;

/** Flattens what a pure chart returns, calling the pure pieces inside it; no page is needed. */
export function drawn(node: ComponentChildren): Drawn[] {
  if (Array.isArray(node)) return node.flatMap(drawn);
  if (!isValidElement(node)) return [];
  const { type, props } = node as VNode<Record<string, unknown>>;
  if (type === Fragment) return drawn(props['children'] as ComponentChildren);
  if (typeof type === 'function') return drawn((type as (props: unknown) => ComponentChildren)(props));
  const children = props['children'] as ComponentChildren;
  return [{ tag: String(type), props, words: wordsOf(children) }, ...drawn(children)];
}

function wordsOf(node: ComponentChildren): string {
  if (Array.isArray(node)) return node.map(wordsOf).join('');
  return typeof node === 'string' || typeof node === 'number' ? String(node) : '';
}

/** Elements whose class holds the word. */
export function ofClass(all: readonly Drawn[], word: string): Drawn[] {
  return all.filter(({ props }) =>
    String(props['class'] ?? '')
      .split(' ')
      .includes(word),
  );
}
