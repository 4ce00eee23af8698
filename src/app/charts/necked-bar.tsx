/** A tensile bar whose width follows the margin of each link in job order. Also the product's mark. */
export type Neck = Readonly<{ width: number; known: boolean; cracked: boolean; weak: boolean }>;

/** Half the widest part of the bar, as a share of the room it is drawn in. */
const FULL = 0.43;

/** Half-widths at the start, the middle and the end of each link's piece: it runs smoothly into its neighbours. */
export function neckProfile(widths: readonly number[]): readonly (readonly [number, number, number])[] {
  return widths.map((width, index) => {
    const before = widths[index - 1] ?? 1;
    const after = widths[index + 1] ?? 1;
    return [((before + width) / 2) * FULL, width * FULL, ((width + after) / 2) * FULL];
  });
}

/** One link's piece, standing: as high as its row. `room` units wide, 100 high, stretched by the caller. */
export function NeckPiece({ necks, index }: { necks: readonly Neck[]; index: number }) {
  const room = 56;
  const [top, middle, bottom] = neckProfile(necks.map((neck) => neck.width))[index]!;
  const neck = necks[index]!;
  const left = [top, middle, bottom].map((half) => room / 2 - half * room);
  const right = left.map((x) => room - x);
  const side = (xs: number[], from: number, to: number) =>
    `C${xs[from]} ${from * 50 + (to > from ? 25 : -25)} ${xs[to]} ${to * 50 - (to > from ? 25 : -25)} ${xs[to]} ${to * 50}`;
  const path = `M${left[0]} 0 ${side(left, 0, 1)} ${side(left, 1, 2)} L${right[2]} 100 ${side(right, 2, 1)} ${side(right, 1, 0)}Z`;
  const edges = `M${left[0]} 0 ${side(left, 0, 1)} ${side(left, 1, 2)} M${right[0]} 0 ${side(right, 0, 1)} ${side(right, 1, 2)}`;
  return (
    <svg viewBox={`0 0 ${room} 100`} preserveAspectRatio="none" aria-hidden="true">
      {neck.known ? (
        <path class={`neck-fill${neck.weak ? ' weak' : ''}`} d={path} />
      ) : (
        <path class="neck-blank" d={edges} />
      )}
    </svg>
  );
}

/** The zigzag of a cracked link, in px: it must not be stretched with the row. */
export function Crack() {
  return (
    <svg class="crack-place" width="56" height="22" viewBox="0 0 56 22" aria-hidden="true">
      <path class="crack" d="M8 6 L20 12 L28 7 L36 14 L48 9" />
    </svg>
  );
}

/** The whole bar lying down, for the head of every page. */
export function NeckedBar({
  necks,
  width = 150,
  height = 26,
}: {
  necks: readonly Neck[];
  width?: number;
  height?: number;
}) {
  const profile = neckProfile(necks.map((neck) => neck.width));
  const step = width / necks.length;
  const middle = height / 2;
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {necks.map((neck, index) => {
        const halves = profile[index]!.map((half) => half * height);
        const xs = [index * step, (index + 0.5) * step, (index + 1) * step];
        const quarter = step / 4;
        const edge = (sign: number) => {
          const y = halves.map((half) => middle + sign * half);
          return (
            `M${xs[0]} ${y[0]} C${xs[0]! + quarter} ${y[0]} ${xs[1]! - quarter} ${y[1]} ${xs[1]} ${y[1]} ` +
            `C${xs[1]! + quarter} ${y[1]} ${xs[2]! - quarter} ${y[2]} ${xs[2]} ${y[2]}`
          );
        };
        const upper = edge(-1);
        const y = halves.map((half) => middle + half);
        const back =
          `L${xs[2]} ${y[2]} C${xs[2]! - quarter} ${y[2]} ${xs[1]! + quarter} ${y[1]} ${xs[1]} ${y[1]} ` +
          `C${xs[1]! - quarter} ${y[1]} ${xs[0]! + quarter} ${y[0]} ${xs[0]} ${y[0]}Z`;
        const x = xs[1]!;
        return neck.known ? (
          <g key={xs[0]}>
            <path class={`neck-fill${neck.weak ? ' weak' : ''}`} d={`${upper} ${back}`} />
            {neck.cracked && <path class="crack" d={`M${x - 3} ${middle - 6} l5 4 l-3 3 l5 4`} />}
          </g>
        ) : (
          <path
            key={xs[0]}
            class="neck-blank"
            d={`${upper} ${edge(1)} ${index === necks.length - 1 ? `M${xs[2]} ${middle - halves[2]!}V${y[2]}` : ''}`}
          />
        );
      })}
    </svg>
  );
}
