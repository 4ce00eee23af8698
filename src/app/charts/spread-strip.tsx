import { useSize } from '../size.ts';

/** Five points of a spread (5, 25, 50, 75, 95 %) as positions in px between `inset` and `width - inset`. */
export function spreadPlaces(quantiles: readonly number[], width: number, inset: number): number[] {
  const low = quantiles[0] ?? 0;
  const high = quantiles.at(-1) ?? 1;
  const span = high - low;
  return quantiles.map((q) => (span > 0 ? inset + ((q - low) / span) * (width - 2 * inset) : width / 2));
}

/** A line over 9 in 10, a box over the middle half, a ring at the median. */
export function SpreadDrawing({
  quantiles,
  width,
  finding,
}: {
  quantiles: readonly number[];
  width: number;
  finding: string;
}) {
  const [q05, q25, q50, q75, q95] = spreadPlaces(quantiles, width, 8) as [
    number,
    number,
    number,
    number,
    number,
  ];
  return (
    <svg width={width} height="28" viewBox={`0 0 ${width} 28`} role="img" aria-label={finding}>
      <line class="spread-line" x1={q05} x2={q95} y1="14" y2="14" />
      <line class="spread-line" x1={q05} x2={q05} y1="8" y2="20" />
      <line class="spread-line" x1={q95} x2={q95} y1="8" y2="20" />
      <rect class="spread-box" x={q25} width={Math.max(q75 - q25, 1)} y="9" height="10" />
      <circle class="spread-middle" cx={q50} cy="14" r="5" />
    </svg>
  );
}

export function SpreadStrip({ quantiles, finding }: { quantiles: readonly number[]; finding: string }) {
  const [place, { width }] = useSize<HTMLDivElement>(280);
  return (
    <div class="chart" ref={place}>
      <SpreadDrawing quantiles={quantiles} width={width} finding={finding} />
    </div>
  );
}
