import type { RunsView } from '../../server/api.ts';
import { useSize } from '../size.ts';
import { pushApart, textWidth, thatFit } from './labels.ts';

/** A link the threads pass; `known` is false for one that is not computed yet. */
export type Gate = Readonly<{ name: string; known: boolean; weak: boolean }>;

/** Beyond the eight links stand other mishaps, at a gate of their own. */
export const OTHER = 'other mishaps';

type Told = Readonly<{ words: string; at: number; loss: boolean; strong: boolean }>;

/** Where each thread ends or is spoiled: the index of its gate, or null. */
export function threadEnds(runs: RunsView, gates: readonly Gate[]) {
  const at = (name: string | null) => (name === null ? null : gates.findIndex((gate) => gate.name === name));
  return runs.threads.map((thread) => ({ lost: at(thread.lostAt), spoiled: at(thread.spoiledAt) }));
}

/** The finding in one sentence, read aloud in place of the picture. */
export function runsSentence(runs: RunsView): string {
  const part = (list: RunsView['lost']) => list.map(({ link, count }) => `${count} at ${link}`).join(', ');
  const lost = runs.lost.reduce((sum, { count }) => sum + count, 0);
  const spoiled = runs.spoiled.reduce((sum, { count }) => sum + count, 0);
  return [
    lost > 0
      ? `Of 20 runs ${lost} are lost on the machine, ${part(runs.lost)}`
      : 'Of 20 runs none is lost on the machine',
    spoiled > 0
      ? `${spoiled} come off but do not count, ${part(runs.spoiled)}`
      : 'none comes off without counting',
    `${runs.counts} count.`,
  ].join('; ');
}

/** The picture: a pure function of data and size. */
export function RunsDrawing(props: { runs: RunsView; gates: readonly Gate[]; width: number; text: number }) {
  const { runs, gates, width, text } = props;
  const rightWords = text * 8.4;
  const end = width - rightWords;
  const step = end / (gates.length + 0.35);
  const gateX = (index: number) => (index + 0.7) * step;
  const top = text * 1.7;
  const pitch = 5.6;
  const threadY = (index: number) => top + 8 + index * pitch;
  const bottom = threadY(runs.threads.length - 1) + 8;
  const height = bottom + text * 2.9;
  const ends = threadEnds(runs, gates);

  const names = gates.map((gate, index) => ({
    words: gate.name === OTHER ? 'Other' : gate.name,
    x: gateX(index),
    gate,
    rank: gate.weak
      ? 0
      : runs.lost.some((l) => l.link === gate.name) || runs.spoiled.some((s) => s.link === gate.name)
        ? 1
        : 2,
  }));
  const said = thatFit(
    [...names].sort((a, b) => a.rank - b.rank),
    ({ words, x }) => [x - textWidth(words, text) / 2, x + textWidth(words, text) / 2],
    4,
  );

  const counting = ends.flatMap((thread, i) =>
    thread.lost === null && thread.spoiled === null ? [threadY(i)] : [],
  );
  const spoiled = ends.flatMap((thread, i) => (thread.spoiled !== null ? [threadY(i)] : []));
  const lost = ends.flatMap((thread, i) => (thread.lost !== null ? [threadY(i)] : []));
  const middle = (ys: number[]) => (ys.length ? (ys[0]! + ys[ys.length - 1]!) / 2 : 0);
  const told: Told[] = [
    {
      words: `${counting.length} count`,
      at: counting.length ? middle(counting) : top,
      loss: false,
      strong: true,
    },
    ...(spoiled.length
      ? [{ words: `${spoiled.length} only come off`, at: middle(spoiled), loss: false, strong: false }]
      : []),
    ...(lost.length ? [{ words: `${lost.length} lost`, at: middle(lost), loss: true, strong: false }] : []),
  ];
  const toldY = pushApart(
    told.map(({ at }) => at + text * 0.35),
    text * 1.35,
    top + text * 0.6,
    bottom,
  );

  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={runsSentence(runs)}
    >
      {names.map((name) => (
        <g key={name.gate.name}>
          <line
            class={`gate${name.gate.weak ? ' weak' : ''}${name.gate.known ? '' : ' blank'}`}
            x1={name.x}
            x2={name.x}
            y1={top}
            y2={bottom}
          />
          {said.has(name) && (
            <text
              class={name.gate.weak ? 'strong' : name.gate.known ? '' : 'faint'}
              x={name.x}
              y={text}
              text-anchor="middle"
            >
              {name.words}
            </text>
          )}
        </g>
      ))}
      {ends.map((thread, index) => {
        const y = threadY(index);
        const stop = thread.lost !== null ? gateX(thread.lost) : end;
        const whole = thread.spoiled !== null ? gateX(thread.spoiled) : stop;
        return (
          <g key={`thread ${y}`}>
            <line class="thread" x1="0" x2={whole} y1={y} y2={y} />
            {thread.spoiled !== null && <line class="thread thin" x1={whole} x2={end} y1={y} y2={y} />}
            {thread.lost === null && thread.spoiled === null ? (
              <circle class="dot holding" cx={end} cy={y} r="2.6" />
            ) : (
              <circle class="dot failing" cx={whole} cy={y} r="2.2" />
            )}
          </g>
        );
      })}
      {names.map((name) => {
        const gone = runs.lost.find(({ link }) => link === name.gate.name)?.count;
        const bad = runs.spoiled.find(({ link }) => link === name.gate.name)?.count;
        const words = [gone ? `−${gone}` : '', bad ? `○ ${bad}` : ''].filter(Boolean);
        return words.map((word, line) => (
          <text
            key={word}
            class="loss"
            x={name.x}
            y={bottom + text * (1.15 + 1.25 * line)}
            text-anchor="middle"
          >
            {word}
          </text>
        ));
      })}
      {told.map((line, index) => (
        <text
          key={line.words}
          class={line.loss ? 'loss' : line.strong ? 'strong' : ''}
          x={end + 8}
          y={toldY[index]}
        >
          {line.words}
        </text>
      ))}
    </svg>
  );
}

export function TwentyRuns({ runs, gates }: { runs: RunsView; gates: readonly Gate[] }) {
  const [place, { width, text }] = useSize<HTMLDivElement>(560);
  return (
    <div class="chart" ref={place}>
      <RunsDrawing runs={runs} gates={gates} width={width} text={text} />
    </div>
  );
}
