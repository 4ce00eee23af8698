import type { Strip } from '../../server/api.ts';
import { useSize } from '../size.ts';
import { textWidth, thatFit } from './labels.ts';

/** Box of the picture: 330 units wide, limit at 112, one dot every 10 (report/strip lays the dots). */
const BOX = 330;
const LIMIT_AT = 112;
const PITCH = 10;
/** Dots above this level are drawn closer, or a sure thing would tower over the rows. */
const LEVELS_MAX = 7;
const LEVELS_LEAST = 4;
/** Share of the pitch; a ring is smaller by half of its stroke. */
const DOT = 4.4;
const RING = 3.5;

/** `assumed`: outlines, since a leading input was not said. `grey`: computing, or the plan as it stands behind. */
export type Look = 'plain' | 'assumed' | 'grey';

export type Placed = Readonly<{ x: number; y: number; holds: boolean; key: string }>;

/** Where the dots of a strip stand in px; none on the limit. */
export function placeDots(strip: Strip, width: number, base: number): Placed[] {
  const unit = width / BOX;
  const levels = Math.max(...strip.dots.map((dot) => dot.level), 0) + 1;
  const rise = PITCH * unit * Math.min(1, (LEVELS_MAX - 1) / Math.max(levels - 1, 1));
  return strip.dots.map((dot, index) => ({
    x: (LIMIT_AT + (dot.column + 0.5) * PITCH) * unit,
    y: base - (PITCH / 2 + 1) * unit - dot.level * rise,
    holds: dot.holds,
    key: String(index),
  }));
}

/** Height above the base line in px. */
export function stripRise(strip: Strip | null, width: number): number {
  const levels = Math.max(...(strip?.dots ?? []).map((dot) => dot.level), 0) + 1;
  return (Math.min(Math.max(levels, LEVELS_LEAST), LEVELS_MAX) * PITCH + 4) * (width / BOX);
}

/** Ticks whose labels fit beside the limit's at this size of text. */
export function ticksThatFit(strip: Strip, width: number, text: number): Set<Strip['ticks'][number]> {
  const unit = width / BOX;
  const limit = { at: 0, label: strip.limit };
  const fit = thatFit(
    [limit, ...strip.ticks],
    (tick) => {
      const half = textWidth(tick.label, text) / 2;
      const x = (LIMIT_AT + tick.at) * unit;
      const middle = Math.min(Math.max(x, half), width - half);
      return [middle - half, middle + half];
    },
    text / 2,
  );
  fit.delete(limit);
  return fit;
}

type Drawing = Readonly<{
  strip: Strip;
  width: number;
  text: number;
  look: Look;
  /** Drawn behind as grey rings, on the same axis. */
  behind?: Strip | null;
  axis?: boolean;
  /** Words at the right, such as "As planned". */
  words?: string;
  finding?: string;
}>;

/** The picture itself: a pure function of data and size. */
export function StripDrawing({ strip, width, text, look, behind, axis = true, words, finding }: Drawing) {
  const unit = width / BOX;
  const wordsRoom = words ? text * 1.4 : 0;
  const base = wordsRoom + Math.max(stripRise(strip, width), stripRise(behind ?? null, width));
  const height = base + (axis ? text * 1.75 + 4 : 8);
  const fit = ticksThatFit(strip, width, text);
  const limitX = LIMIT_AT * unit;
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={finding ?? strip.finding}
    >
      <line class="axis" x1="0" x2={width} y1={base} y2={base} />
      <line class="limit" x1={limitX} x2={limitX} y1="0" y2={base + (axis ? 4 : 8)} />
      {words && (
        <text class="halo" x={width} y={text} text-anchor="end">
          {words}
        </text>
      )}
      {axis && (
        <>
          {strip.ticks.map((tick) => (
            <Tick
              key={tick.label}
              tick={tick}
              unit={unit}
              base={base}
              width={width}
              text={text}
              said={fit.has(tick)}
            />
          ))}
          <text class="strong halo" x={limitX} y={base + text * 1.35 + 3} text-anchor="middle">
            {strip.limit}
          </text>
        </>
      )}
      {behind &&
        placeDots(behind, width, base).map((dot) => (
          <circle key={`behind ${dot.key}`} class="dot grey" cx={dot.x} cy={dot.y} r={RING * unit} />
        ))}
      {placeDots(strip, width, base).map((dot) => (
        <circle
          key={dot.key}
          class={`dot ${look === 'grey' ? 'grey' : dot.holds ? (look === 'assumed' ? 'assumed' : 'holding') : 'failing'}`}
          cx={dot.x}
          cy={dot.y}
          r={(look === 'plain' && dot.holds ? DOT : RING) * unit}
        />
      ))}
      <Beyond strip={strip} width={width} base={base} />
    </svg>
  );
}

function Tick(props: {
  tick: Strip['ticks'][number];
  unit: number;
  base: number;
  width: number;
  text: number;
  said: boolean;
}) {
  const { tick, unit, base, width, text, said } = props;
  const x = (LIMIT_AT + tick.at) * unit;
  const half = textWidth(tick.label, text) / 2;
  const anchor = x + half > width ? 'end' : x < half ? 'start' : 'middle';
  return (
    <>
      <line class="axis" x1={x} x2={x} y1={base} y2={base + 4} />
      {said && (
        <text
          x={anchor === 'end' ? width : anchor === 'start' ? 0 : x}
          y={base + text * 1.35 + 3}
          text-anchor={anchor}
        >
          {tick.label}
        </text>
      )}
    </>
  );
}

/** Runs beyond the box stand in its last column; the sign and their count say so. */
function Beyond({ strip, width, base }: { strip: Strip; width: number; base: number }) {
  const sides = [true, false].map((holds) => ({
    holds,
    dots: strip.dots.filter((dot) => dot.beyond && dot.holds === holds),
  }));
  const placed = placeDots(strip, width, base);
  return (
    <>
      {sides.map(({ holds, dots }) => {
        if (dots.length === 0) return null;
        const column = dots[0]!.column;
        const top = Math.min(
          ...placed.filter((_, i) => strip.dots[i]!.column === column).map((dot) => dot.y),
        );
        const words = holds ? `${dots.length} »` : `« ${dots.length}`;
        return (
          <text
            key={words}
            class="halo"
            x={holds ? width : 0}
            y={top - (PITCH / 2 + 2) * (width / BOX)}
            text-anchor={holds ? 'end' : 'start'}
          >
            {words}
          </text>
        );
      })}
    </>
  );
}

/** An axis with its limit and no runs yet: a link that is being computed and has shown nothing so far. */
export function EmptyStrip({ width, finding }: { width: number; finding: string }) {
  const unit = width / BOX;
  const base = 48 * unit;
  return (
    <svg width={width} height={base + 8} viewBox={`0 0 ${width} ${base + 8}`} role="img" aria-label={finding}>
      <line class="axis" x1="0" x2={width} y1={base} y2={base} />
      <line class="limit" x1={LIMIT_AT * unit} x2={LIMIT_AT * unit} y1="0" y2={base + 8} />
    </svg>
  );
}

/** Under this width two strips above each other become one, with the plan as it stands behind. */
const TIGHT = 300;

/** A strip in its place; while a change is tried, as planned and tried stand above each other on one axis. */
export function MarginStrip(props: {
  strip: Strip | null;
  before?: Strip | null;
  look: Look;
  finding?: string;
}) {
  const [place, { width, text }] = useSize<HTMLDivElement>(BOX);
  const { strip, before, look, finding } = props;
  const words = finding ? { finding } : {};
  return (
    <div class="chart" ref={place}>
      {!strip && <EmptyStrip width={width} finding={finding ?? 'No runs yet.'} />}
      {strip && !before && <StripDrawing strip={strip} width={width} text={text} look={look} {...words} />}
      {strip && before && width >= TIGHT && (
        <>
          <StripDrawing
            strip={before}
            width={width}
            text={text}
            look="grey"
            axis={false}
            words="As planned"
            finding={`As planned. ${before.finding}`}
          />
          <StripDrawing
            strip={strip}
            width={width}
            text={text}
            look={look}
            words="Tried"
            finding={`Tried. ${strip.finding}`}
          />
        </>
      )}
      {strip && before && width < TIGHT && (
        <StripDrawing
          strip={strip}
          behind={before}
          width={width}
          text={text}
          look={look}
          finding={`Tried, with the plan as it stands in grey behind. ${strip.finding}`}
        />
      )}
    </div>
  );
}
