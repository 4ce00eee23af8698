/**
 * What came of the example's bars: sizes, masses and curves, all invented, from one seed. The curves are those of a
 * machine with an extensometer and a little give; the strengths differ by group, plate and bar.
 */
import { barShape, planArea } from '../src/engine/bars/shapes.ts';
import { equivalentLength } from '../src/engine/curves/specimen.ts';
import { normalQuantile } from '../src/engine/numerics/normal.ts';
import { hashText, uniformStream } from '../src/engine/numerics/random.ts';

export type ExampleBar = Readonly<{
  bar: string;
  group: 'flat' | 'on edge' | 'upright';
  plate: string;
  /** Readings of a caliper [mm], and mass [g]. */
  width: readonly number[];
  thickness: readonly number[];
  mass: number;
  /** As they are [MPa]. */
  strength: number;
  modulus: number;
}>;

const SEED = 'sensor bracket, invented example, curves';
/** Invented: mean and scatter of bars of each group [MPa], modulus [MPa], and share of a sound bar's mass. */
const GROUPS = {
  flat: { strength: 94, scatter: 0.016, modulus: 7100, sound: 0.985 },
  'on edge': { strength: 96.5, scatter: 0.016, modulus: 7350, sound: 0.985 },
  upright: { strength: 39, scatter: 0.065, modulus: 3600, sound: 0.962 },
} as const;
const PLATE_SCATTER = 0.02;
const DENSITY_G_MM3 = 1.197e-3;
/** A bar that was printed over a pause: its fracture face shows a layer that did not weld. */
const COLD_LAYER = { bar: 'C23', share: 0.62 };
/** It broke in the fillet beside the grip before its strength was reached. */
const AT_GRIP = { bar: 'B7', share: 0.81 };

/** Bars in the order of the campaign, plate by plate. */
const BARS: Readonly<Record<string, Readonly<Record<string, ExampleBar['group']>>>> = {
  A: Object.fromEntries([1, 2, 3, 4, 5, 6].map((part) => [`A${part}`, 'flat' as const])),
  B: Object.fromEntries([1, 3, 5, 7, 9, 11].map((part) => [`B${part}`, 'on edge' as const])),
  C: Object.fromEntries(
    [2, 5, 8, 11, 14, 17, 20, 23, 26, 29, 32, 35].map((part) => [`C${part}`, 'upright' as const]),
  ),
  D: { D1: 'flat', D2: 'flat', D3: 'on edge', D5: 'on edge', D8: 'upright', D11: 'upright' },
};

function normals(key: string): () => number {
  const uniform = uniformStream(hashText(`${SEED} ${key}`));
  return () => normalQuantile(uniform());
}

const rounded = (value: number, places: number) => Number(value.toFixed(places));

export function exampleBars(): ExampleBar[] {
  const shape = barShape('1B')!;
  return Object.entries(BARS).flatMap(([plate, bars]) => {
    const plateFactor = Math.exp(PLATE_SCATTER * normals(`plate ${plate}`)());
    return Object.entries(bars).map(([bar, group]): ExampleBar => {
      const normal = normals(bar);
      const { strength, scatter, modulus, sound } = GROUPS[group];
      const width = 10.04 + 0.025 * normal();
      const thickness = 4.03 + 0.02 * normal();
      const readings = (size: number) => [0, 0, 0].map(() => rounded(size + 0.012 * normal(), 2));
      const own = plateFactor * Math.exp(scatter * normal());
      const weld = bar === COLD_LAYER.bar ? COLD_LAYER.share : 1;
      const grip = bar === AT_GRIP.bar ? AT_GRIP.share : 1;
      // mm3, with the plan of the type and this bar's own sizes.
      const volume = planArea(shape) * 1e6 * (width / 10) * thickness;
      return {
        bar,
        group,
        plate,
        width: readings(width),
        thickness: readings(thickness),
        mass: rounded(volume * DENSITY_G_MM3 * (sound + 0.004 * normal()), 2),
        strength: strength * own * weld * grip,
        modulus: modulus * plateFactor * Math.exp(0.015 * normal()),
      };
    });
  });
}

/** Crosshead [mm/min] up to and behind 0.3 % strain, sampling [s], give of the machine [mm/N], noise [N, mm]. */
const SPEED = { modulus: 1, rest: 5 } as const;
const SLOW_UP_TO = 0.003;
const STEP_S = 0.25;
const GIVE = 6e-5;
const NOISE = { force: 0.8, extension: 0.0003, travel: 0.0005 } as const;
const GAUGE_MM = 50;
/** The curve bends towards a stress this much above its strength. */
const CEILING = 1.35;

/** One file a plate: bars one below the other, told apart by a column. */
export function exampleCurves(): Readonly<{ name: string; text: string }>[] {
  const all = exampleBars();
  return Object.keys(BARS).map((plate) => ({
    name: `plate-${plate.toLowerCase()}.csv`,
    text: [
      'Invented data of the example: no bar was broken for this file.',
      'Bar,Time (s),Force (N),Crosshead travel (mm),Extensometer (mm)',
      ...all.filter((bar) => bar.plate === plate).flatMap(rowsOf),
      '',
    ].join('\n'),
  }));
}

/** Stress of a bar [MPa] at a strain: straight at first, bending towards a ceiling above its strength. */
export function exampleStress(bar: ExampleBar, strain: number): number {
  const most = ceilingOf(bar);
  return most * (1 - Math.exp((-bar.modulus * strain) / most));
}

/** A bar that broke at the grip followed the curve of a sound one. */
const ceilingOf = ({ bar, strength }: ExampleBar) =>
  (CEILING * strength) / (bar === AT_GRIP.bar ? AT_GRIP.share : 1);

function rowsOf(bar: ExampleBar): string[] {
  const normal = normals(`${bar.bar} noise`);
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const section = mean(bar.width) * mean(bar.thickness);
  const length = equivalentLength(barShape('1B')!) * 1000;
  const most = ceilingOf(bar);
  const stressAt = (strain: number) => exampleStress(bar, strain);
  const strainAtBreak = (-most / bar.modulus) * Math.log(1 - bar.strength / most);
  const travelAt = (strain: number) => length * strain + GIVE * section * stressAt(strain);
  const rows: string[] = [];
  const add = (time: number, force: number, travel: number, extension: number) =>
    rows.push(
      [
        bar.bar,
        time.toFixed(2),
        (force + NOISE.force * normal()).toFixed(1),
        (travel + NOISE.travel * normal()).toFixed(3),
        (extension + NOISE.extension * normal()).toFixed(4),
      ].join(','),
    );
  let time = 0;
  let travel = 0;
  let strain = 0;
  while (strain < strainAtBreak) {
    add(time, section * stressAt(strain), travel, GAUGE_MM * strain);
    const speed = strain < SLOW_UP_TO ? SPEED.modulus : SPEED.rest;
    time += STEP_S;
    travel += (speed / 60) * STEP_S;
    // Newton on travel = L e + C A s(e): smooth and nearly straight, three steps reach the rounding.
    for (let k = 0; k < 3; k++) {
      const slope = length + GIVE * section * bar.modulus * Math.exp((-bar.modulus * strain) / most);
      strain += (travel - travelAt(strain)) / slope;
    }
  }
  add(time, section * bar.strength, travelAt(strainAtBreak), GAUGE_MM * strainAtBreak);
  for (let k = 1; k <= 3; k++) add(time + k * STEP_S, 4, travel + (SPEED.rest / 60) * STEP_S * k, 0.02);
  return rows;
}
