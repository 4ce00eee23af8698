import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { ProblemView } from '../server/api.ts';
import { showShare } from '../units.ts';

/** The few pieces every screen is made of. */

type ButtonProps = Readonly<{
  onPress: () => void;
  children: ComponentChildren;
  kind?: 'main' | 'quiet' | 'plain';
  /** Fuller words for those who cannot see where the button stands; they begin with its visible words. */
  label?: string;
  pressed?: boolean;
  marks?: Readonly<Record<`data-${string}`, string>>;
}>;

export function Button({ onPress, children, kind = 'plain', label, pressed, marks }: ButtonProps) {
  return (
    <button
      type="button"
      class={`button${kind === 'plain' ? '' : ` ${kind}`}`}
      onClick={onPress}
      aria-label={label}
      aria-pressed={pressed}
      {...marks}
    >
      {children}
    </button>
  );
}

export function Tag({ children, filled }: { children: ComponentChildren; filled?: boolean }) {
  return <span class={`tag${filled ? ' filled' : ''}`}>{children}</span>;
}

export function Caution({ hazard, words }: { hazard: string; words: string }) {
  return (
    <p class="caution">
      <b>{hazard}</b>
      {words}
    </p>
  );
}

/** Something cannot go on: what, where, what was expected; then one or two buttons. */
export function Trouble({
  sentences,
  children,
}: {
  sentences: readonly string[];
  children?: ComponentChildren;
}) {
  if (sentences.length === 0) return null;
  return (
    <div class="trouble" role="alert">
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {children && <div class="buttons">{children}</div>}
    </div>
  );
}

export function Progress({ share, words }: { share: number; words: string }) {
  return (
    <div class="progress">
      <progress value={share} max={1} aria-label={words || 'Progress'} />
      <p class="small second">{words || showShare(share)}</p>
    </div>
  );
}

/** The sentence of a problem with its file and line, which are said once. */
export function problemWords({ sentence, file, line }: ProblemView): string {
  const place = [
    file !== null && !sentence.includes(file) ? file : '',
    line !== null && !/\bline\b/.test(sentence) ? `line ${line}` : '',
  ].filter(Boolean);
  return place.length > 0 ? `${place.join(', ')}: ${sentence}` : sentence;
}

/** Notes beyond this many are folded away. */
const NOTES_SHOWN = 4;

/** Every problem with its line: first what stops, then what is to be known. */
export function Problems({
  problems,
  children,
}: {
  problems: readonly ProblemView[];
  children?: ComponentChildren;
}) {
  const stops = problems.filter(({ level }) => level === 'stop').map(problemWords);
  const notes = problems.filter(({ level }) => level === 'note').map(problemWords);
  if (problems.length === 0) return null;
  const note = (words: string) => (
    <li class="note" key={words}>
      {words}
    </li>
  );
  return (
    <div class="print-problems">
      <Trouble sentences={stops}>{children}</Trouble>
      {notes.length > 0 && <ul class="stack">{notes.slice(0, NOTES_SHOWN).map(note)}</ul>}
      {notes.length > NOTES_SHOWN && (
        <details>
          <summary>Show {notes.length - NOTES_SHOWN} more</summary>
          <ul class="stack">{notes.slice(NOTES_SHOWN).map(note)}</ul>
        </details>
      )}
    </div>
  );
}

/** A mark that says open or closed; it stands beside words, never alone. */
export function Chevron({ open }: { open: boolean }) {
  return (
    <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
      <path
        d={open ? 'M1.5 4L6 8.5L10.5 4' : 'M4 1.5L8.5 6L4 10.5'}
        fill="none"
        stroke="currentColor"
        stroke-width="1.8"
      />
    </svg>
  );
}

/** A table that may be wider than its place: it then scrolls by itself, by keyboard too. */
export function WideTable({ of, children }: { of: string; children: ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  const [wide, setWide] = useState(false);
  useLayoutEffect(() => {
    const element = place.current;
    if (!element) return;
    const observer = new ResizeObserver(() => setWide(element.scrollWidth > element.clientWidth));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const reached = wide ? ({ tabIndex: 0, role: 'region', 'aria-label': of } as const) : {};
  return (
    <div class="wide-table" ref={place} {...reached}>
      {children}
    </div>
  );
}

type ChooseProps = Readonly<{
  onFiles: (files: File[]) => void;
  children: string;
  kind?: 'main' | 'plain';
}>;

/** A button that asks for files; the same file may be chosen again. */
export function ChooseFiles({ onFiles, children, kind = 'plain' }: ChooseProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        onChange={(event) => {
          onFiles([...(event.currentTarget.files ?? [])]);
          event.currentTarget.value = '';
        }}
      />
      <Button kind={kind} onPress={() => input.current?.click()}>
        {children}
      </Button>
    </>
  );
}

type TableProps = Readonly<{
  /** What the table is of, for those who cannot see it. */
  of: string;
  head: readonly string[];
  rows: readonly Readonly<{ key: string | number; cells: readonly ComponentChildren[] }>[];
}>;

/** The figures of a picture, for those who would rather read them. */
export function AsTable({ of, head, rows }: TableProps) {
  return (
    <details>
      <summary>Show as table</summary>
      <WideTable of={of}>
        <table class="figures">
          <thead>
            <tr>
              {head.map((words) => (
                <th scope="col" key={words}>
                  {words}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ key, cells }) => (
              <tr key={key}>
                {cells.map((cell, k) => (
                  <td key={head[k]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </details>
  );
}

/** The page's answer. It takes the focus when the page changes, so that reading begins there. */
export function Headline({ children }: { children: ComponentChildren }) {
  return (
    <h1 id="headline" tabIndex={-1}>
      {children}
    </h1>
  );
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
