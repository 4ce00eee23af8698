/** Things at hand that a bend of the tube is compared with. */
const THINGS = ['coin', 'cup', 'plate'] as const;
type Thing = (typeof THINGS)[number];

/** From the thing's edge to the middle of the tube. */
const TUBE = 5;
/** Radii in px as drawn: not to one scale, since a plate is ten coins wide. */
const DRAWN: Readonly<Record<Thing, number>> = { coin: 11, cup: 23, plate: 52 };

/** The thing that the words of a choice name; null where they name none. */
export function thingIn(words: string): Thing | null {
  return THINGS.find((thing) => new RegExp(`\\b${thing}\\b`, 'i').test(words)) ?? null;
}

export function bendRadiusDrawn(thing: Thing): number {
  return DRAWN[thing] + TUBE;
}

/** A thing from above with the tube bent a quarter round it. */
export function Bend({ thing }: { thing: Thing }) {
  const radius = DRAWN[thing];
  const bend = bendRadiusDrawn(thing);
  // The thing stands at the lower right; the tube comes up its left side and leaves over its top.
  const [x, y] = [30 + bend, 10 + bend];
  return (
    <svg width="112" height="72" viewBox="0 0 112 72" aria-hidden="true">
      <circle class="bend-thing" cx={x} cy={y} r={radius} />
      {thing === 'coin' && <circle class="bend-thing" cx={x} cy={y} r={radius - 3} />}
      {thing === 'cup' && <path class="bend-thing" d={`M${x + radius - 2} ${y - 7}q16 7 0 14`} />}
      {thing === 'plate' && <circle class="bend-thing" cx={x} cy={y} r={radius - 14} />}
      <path class="bend-tube" d={`M${x - bend} 80V${y}A${bend} ${bend} 0 0 1 ${x} ${y - bend}H120`} />
    </svg>
  );
}
