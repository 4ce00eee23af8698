/** Things at hand that a bend of the tube is compared with, by the value of the choice; radius in mm, usual sizes. */
const THINGS: Readonly<Record<string, number>> = { coin: 12, cup: 40, plate: 125 };

/** A thing from above with the tube bent a quarter round it: not to one scale, a plate is ten coins wide. */
const DRAWN: Readonly<Record<string, number>> = { coin: 11, cup: 23, plate: 52 };

export function bendRadius(thing: string): number | null {
  return THINGS[thing] ?? null;
}

export function Bend({ thing }: { thing: string }) {
  const radius = DRAWN[thing];
  if (radius === undefined) return null;
  const bend = radius + 5;
  // The thing stands at the lower right, the tube comes down its left side and leaves under the upper edge.
  const [x, y] = [30 + bend, 10 + bend];
  return (
    <svg width="112" height="72" viewBox="0 0 112 72" aria-hidden="true">
      <clipPath id={`bend-${thing}`}>
        <rect width="112" height="72" />
      </clipPath>
      <g clip-path={`url(#bend-${thing})`}>
        <circle class="bend-thing" cx={x} cy={y} r={radius} />
        {thing === 'coin' && <circle class="bend-thing" cx={x} cy={y} r={radius - 3} />}
        {thing === 'cup' && <path class="bend-thing" d={`M${x + radius - 2} ${y - 7}q16 7 0 14`} />}
        {thing === 'plate' && <circle class="bend-thing" cx={x} cy={y} r={radius - 14} />}
        <path class="bend-tube" d={`M${x - bend} 80V${y}A${bend} ${bend} 0 0 1 ${x} ${y - bend}H120`} />
      </g>
    </svg>
  );
}
