import { signal } from '@preact/signals';
import { singleKeys } from './choices.ts';

/** Single keys and what they do; the list that `?` opens is made from this. */
export const KEYS: readonly Readonly<{ keys: readonly string[]; words: string }>[] = [
  { keys: ['J', 'K'], words: 'next, last row' },
  { keys: ['T'], words: 'try its smallest change, or put it back' },
  { keys: ['?'], words: 'all keys' },
];

export const keysShown = signal(false);

/** True where a key press is writing, not asking: inside fields, and with a control key held. */
export function isWriting(target: EventTarget | null): boolean {
  const element = target as Partial<HTMLElement> | null;
  return (
    ['INPUT', 'SELECT', 'TEXTAREA'].includes(element?.tagName ?? '') || element?.isContentEditable === true
  );
}

/** Rows say where they are with data-row; the button in them that takes the focus has data-row-focus. */
function moveRow(step: 1 | -1): void {
  const rows = [...document.querySelectorAll<HTMLElement>('[data-row]')];
  if (rows.length === 0) return;
  const now = rows.findIndex((row) => row.contains(document.activeElement));
  const next =
    now < 0 ? (step > 0 ? 0 : rows.length - 1) : Math.min(Math.max(now + step, 0), rows.length - 1);
  const row = rows[next]!;
  (row.querySelector<HTMLElement>('[data-row-focus]') ?? row).focus();
  row.scrollIntoView({ block: 'nearest' });
}

/** The row's first change is its smallest; its button tries it, or puts it back when it is being tried. */
function tryRow(): void {
  const row = document.activeElement?.closest('[data-row]') ?? document.querySelector('[data-row="weakest"]');
  row?.querySelector<HTMLElement>('[data-try]')?.click();
}

export function onKey(event: KeyboardEvent): void {
  if (!singleKeys.value || event.ctrlKey || event.metaKey || event.altKey || isWriting(event.target)) return;
  if (document.querySelector('dialog[open]')) return;
  const key = event.key.toLowerCase();
  if (key === 'j' || key === 'k') moveRow(key === 'j' ? 1 : -1);
  else if (key === 't') tryRow();
  else if (key === '?') keysShown.value = true;
  else return;
  event.preventDefault();
}
