/**
 * Goal: the strand's way is right in its limits, its derivatives and its order, and the shipped cards hold what was
 * published. Method: slow and obvious forms of the same laws (marching along the tube, a rope cut into short arcs, pieces
 * that break one by one, a strand solved shell by shell), random ways with a seed, and the two checks that are no kernel.
 */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { entriesOf } from '../../src/cards/find.ts';
import { bendingStrain, smallestRadius } from '../../src/engine/feed/bend.ts';
import { strainAtBreak, type Toughness } from '../../src/engine/feed/break.ts';
import { coolingLength, temperatureAlong } from '../../src/engine/feed/cooling.ts';
import { pullBehindBend } from '../../src/engine/feed/pull.ts';
import { waterAfterTube } from '../../src/engine/feed/uptake.ts';
import { KERNELS } from '../../src/engine/kernels.ts';
import { polymerMedians } from '../../src/engine/moisture/kernel-defaults.ts';
import { toPolymer } from '../../src/engine/moisture/kernel-inputs.ts';
import { soak } from '../../src/engine/moisture/soak.ts';
import { stratifiedPoint } from '../../src/engine/numerics/random.ts';
import { cardsFor } from '../../src/work/library.ts';

const polymer = toPolymer({ ...polymerMedians });
const toughness: Toughness = {
  strainCold: 0.025,
  strainWarm: 0.07,
  offset: 0,
  width: 12,
  scatter: 18,
  length: 0.05,
};
const D = 0.00175;

describe('warmth along the tube', () => {
  const strand = { diameter: D, density: 1197, heatCapacity: 1600, speed: 0.0033 };
  const loss = 18.9;
  const [start, around, x] = [338.15, 296.15, 0.3];

  /** dT/dx = -4 U (T - T_env)/(rho cp d v), marched by explicit steps. */
  function marched(steps: number): number {
    let t = start;
    for (let k = 0; k < steps; k++)
      t -=
        ((x / steps) * 4 * loss * (t - around)) /
        (strand.density * strand.heatCapacity * strand.diameter * strand.speed);
    return t;
  }

  it('is what marching along it comes to, and marching comes nearer with the first order of its step', () => {
    const exact = temperatureAlong(start, around, x, coolingLength(strand, loss));
    const off = [200, 400, 800].map((steps) => Math.abs(marched(steps) - exact));
    expect(off[2]!).toBeLessThan(0.02);
    for (const k of [0, 1]) expect(Math.log2(off[k]! / off[k + 1]!)).toBeCloseTo(1, 1);
  });

  it('the heat that the strand loses is what crosses its surface', () => {
    const length = coolingLength(strand, loss);
    const section = 0.25 * Math.PI * D * D;
    const carried = (at: number) =>
      strand.density *
      strand.heatCapacity *
      strand.speed *
      section *
      temperatureAlong(start, around, at, length);
    const parts = 20_000;
    let through = 0;
    for (let k = 0; k < parts; k++)
      through +=
        loss *
        Math.PI *
        D *
        (x / parts) *
        (temperatureAlong(start, around, ((k + 0.5) * x) / parts, length) - around);
    expect((carried(0) - carried(x)) / through).toBeCloseTo(1, 7);
  });
});

describe('pull', () => {
  it('a limp strand round one bend is the rope pulled through a thousand short ones', () => {
    const strand = { modulus: 0, diameter: D, inside: 0.0025, friction: 0.2 };
    const set = { radius: 0.09, share: 0.5 };
    let tension = 1;
    for (let k = 0; k < 1000; k++) tension += 0.2 * tension * (Math.PI / 1000);
    const whole = pullBehindBend(1, 0.05, Math.PI, strand, set);
    expect(tension / whole).toBeCloseTo(1, 3);
    let halves = 1;
    for (let k = 0; k < 2; k++) halves = pullBehindBend(halves, 0.05, Math.PI / 2, strand, set);
    expect(halves).toBeCloseTo(whole, 12);
  });

  it('rises with every bend, friction, angle and stiffness, whatever the way', () => {
    const positive = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true });
    fc.assert(
      fc.property(
        positive(0, 10),
        positive(0.01, 0.3),
        positive(0, 6),
        positive(0.01, 0.4),
        positive(1e8, 1e10),
        (tension, radius, angle, friction, modulus) => {
          const strand = { modulus, diameter: D, inside: 0.0025, friction };
          const set = { radius: 0.09, share: 0.5 };
          const usual = pullBehindBend(tension, radius, angle, strand, set);
          expect(usual).toBeGreaterThanOrEqual(tension);
          const more = [
            pullBehindBend(tension, radius, angle + 0.1, strand, set),
            pullBehindBend(tension, radius, angle, { ...strand, friction: friction * 1.1 }, set),
            pullBehindBend(tension, radius, angle, { ...strand, modulus: modulus * 1.1 }, set),
          ];
          for (const pull of more) expect(pull).toBeGreaterThanOrEqual(usual * (1 - 1e-12));
        },
      ),
      { seed: 20261125 },
    );
  });
});

describe('bending and breaking', () => {
  it('the strain changes with the radius as its derivative says', () => {
    const set = { radius: 0.08, share: 0.6 };
    const step = 1e-7;
    for (const sense of [1, -1] as const) {
      const strain = (radius: number) => bendingStrain(D, radius, set, sense);
      const slope = (strain(0.04 + step) - strain(0.04 - step)) / (2 * step);
      expect(slope / (-0.5 * D * (1 / 0.04 ** 2))).toBeCloseTo(1, 5);
    }
  });

  it("the smallest radius and the strain are each other's inverse for any set and sense", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.005, max: 0.08, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.05, max: 0.1, noNaN: true }),
        fc.constantFrom(1 as const, -1 as const, 0 as const),
        (strain, share, radius, sense) => {
          const set = { radius, share };
          const least = smallestRadius(D, strain, set, sense);
          if (!Number.isFinite(least)) {
            // Even pulled straight, the set strains it as much.
            expect(bendingStrain(D, Number.POSITIVE_INFINITY, set, sense)).toBeGreaterThanOrEqual(
              strain * (1 - 1e-9),
            );
            return;
          }
          expect(bendingStrain(D, least, set, sense) / strain).toBeCloseTo(1, 9);
        },
      ),
      { seed: 20261125 },
    );
  });

  it('the size effect is that of the weakest of so many pieces, each broken by itself', () => {
    // Strains of single pieces with P(break below e) = 1 - exp(-ln 2 (e/e_0)^m): e_0 is their median.
    const pieces = 400;
    const rows = 2000;
    const weakest: number[] = [];
    for (let row = 0; row < rows; row++) {
      let least = Number.POSITIVE_INFINITY;
      for (let k = 0; k < pieces; k++) {
        const u = stratifiedPoint(row, 7919 * k + 13);
        least = Math.min(least, 0.025 * (-Math.log(u) / Math.LN2) ** (1 / toughness.scatter));
      }
      weakest.push(least);
    }
    const median = weakest.sort((a, b) => a - b)[rows / 2]!;
    const law = strainAtBreak(polymer, toughness, 100, 0, pieces * toughness.length);
    expect(median / law).toBeCloseTo(1, 2);
  });

  it('never falls with warmth, never rises with the metres, for any strand', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 250, max: 360, noNaN: true }),
        fc.double({ min: 0, max: 0.09, noNaN: true }),
        fc.double({ min: 0, max: 1000, noNaN: true }),
        (temperature, water, metres) => {
          const at = (t: number, l: number) => strainAtBreak(polymer, toughness, t, water, l);
          expect(at(temperature + 1, metres)).toBeGreaterThanOrEqual(at(temperature, metres));
          expect(at(temperature, metres + 1)).toBeLessThanOrEqual(at(temperature, metres));
          expect(at(temperature, metres)).toBeLessThanOrEqual(toughness.strainWarm);
        },
      ),
      { seed: 20261125 },
    );
  });
});

describe('water taken up in the tube', () => {
  it('is within a tenth of the strand solved shell by shell, from minutes to a night', () => {
    for (const humidity of [0.3, 0.5])
      for (const minutes of [4, 30, 8 * 60]) {
        const air = { temperature: 296.15, humidity };
        const quick = waterAfterTube(polymer, air, 0.0024, D, 60 * minutes) - 0.0024;
        const solved =
          soak(
            { shape: 'cylinder', size: D / 2, temperature: 296.15, humidity, start: 0.0024, polymer },
            60 * minutes,
            null,
          ).water - 0.0024;
        expect(quick / solved, `${humidity}, ${minutes} min`).toBeGreaterThan(0.9);
        expect(quick / solved, `${humidity}, ${minutes} min`).toBeLessThan(1.1);
      }
  });
});

describe('kernels of the way', () => {
  const call = (name: string, inputs: unknown) => {
    const kernel = KERNELS.get(name)!;
    return kernel.run(kernel.inputs.parse(inputs), {
      open: () => {
        throw new Error('no files');
      },
    }) as Record<string, number | null>;
  };

  it('a margin is strain at break over strain, and the smallest radius is null where no bend is wide enough', () => {
    const base = { d: D, R: 0.05, eps: 0.03, R_set: 0.08, k_set: 0.5, sense: -1 };
    const bend = call('feed.bend', base);
    expect(bend['margin']).toBeCloseTo(0.03 / bend['strain']!, 12);
    expect(call('feed.bend', { ...base, R: undefined, eps: 0.005 })['smallestR']).toBeNull();
  });

  it('what cannot be computed is refused in one sentence', () => {
    const cases: [string, object][] = [
      ['feed.bend', { d: D, R_set: 0.08, k_set: 0.5, sense: 1 }],
      ['feed.cooling', { d: D, d_i: 0.0025 }],
      ['feed.cooling', { d: D, U: 19, x: 0.3 }],
      ['feed.cooling', { d: 0.003, d_i: 0.0025, d_o: 0.004, k_t: 0.25, h_o: 11, k_a: 0.027 }],
      [
        'feed.pull',
        { bends_m_deg: [[0.05, 90]], T_in: 1, mu: 0.2, E: 1e9, d: 0.003, d_i: 0.0025, k_set: 0, R_set: 1 },
      ],
    ];
    for (const [name, inputs] of cases)
      expect(() => call(name, inputs), `${name} ${JSON.stringify(inputs)}`).toThrow(/^[A-Z].*\.$/);
  });

  it('a bend of zero radius and a way without a bend are no input', () => {
    const pull = { T_in: 1, mu: 0.2, E: 0, d: D, d_i: 0.0025, k_set: 0, R_set: 1 };
    const kernel = KERNELS.get('feed.pull')!;
    expect(kernel.inputs.safeParse({ ...pull, bends_m_deg: [] }).success).toBe(false);
    expect(kernel.inputs.safeParse({ ...pull, bends_m_deg: [[0, 90]] }).success).toBe(false);
  });
});

describe('checks that are no kernel', () => {
  const cards = cardsFor(null);
  const wanted = (id: string, key: string) => {
    const checks = JSON.parse(readFileSync('tests/checks/feed.json', 'utf8')) as {
      id: string;
      expected: Record<string, number>;
    }[];
    return checks.find((check) => check.id === id)!.expected[key]!;
  };

  it("break-30cf: 2.5 % lies in the 5..95 % interval of the card's cold strain to break", () => {
    const entry = entriesOf(cards, 'strand')['strain to break cold']!;
    if (entry.law.kind !== 'factor') throw new Error(`the law is ${entry.law.kind}`);
    // 5 and 95 % of a log-normal lie 1.645 standard deviations from its median.
    const reach = entry.law.factor ** 1.645;
    const value = entry.value as number;
    expect(wanted('break-30cf', 'eps_g')).toBeGreaterThan(value / reach);
    expect(wanted('break-30cf', 'eps_g')).toBeLessThan(value * reach);
  });

  it('mu-pa6: the friction of cast polyamide lies within the bounds of the card, ends included', () => {
    const { law } = entriesOf(cards, 'path')['friction']!;
    if (law.kind !== 'even') throw new Error(`the law is ${law.kind}`);
    expect(wanted('mu-pa6', 'mu')).toBeGreaterThanOrEqual(law.low);
    expect(wanted('mu-pa6', 'mu')).toBeLessThanOrEqual(law.high);
  });
});
