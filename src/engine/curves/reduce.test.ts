import { describe, expect, it } from 'vitest';
import { Refusal } from '../kernel.ts';
import { reduceCurve } from './reduce.ts';
import type { Curve, FlagCode, Reduction, ReductionOptions, Setup } from './reduction.ts';

// Goal: each treatment of a record does what it says and raises its flag, and no other. Method: curves without noise
// whose answer is known in closed form; section 10 x 4 mm, gauge length 50 mm, grips 115 mm apart.

const SECTION = 40e-6;
const MODULUS = 6e9;
const SETUP: Setup = { width: 0.01, thickness: 0.004, gaugeLength: 0.05, gripDistance: 0.115 };

type Points = readonly (readonly [stress: number, strain: number])[];

/** A bar that is straight to 60 MPa at 1 %, with readings every 0.005 % and a tail behind the break. */
const straight: Points = Array.from({ length: 201 }, (_, k) => [0.3e6 * k, 5e-5 * k] as const);
const TAIL: Points = [
  [2e6, 0.003],
  [0, 0.003],
];

function curveOf(points: Points, channels: { grip?: boolean; gauge?: boolean } = { gauge: true }): Curve {
  const all = [...points, ...TAIL];
  return {
    force: Float64Array.from(all, ([stress]) => stress * SECTION),
    ...(channels.gauge ? { extension: Float64Array.from(all, ([, strain]) => strain * 0.05) } : {}),
    ...(channels.grip
      ? { grip: Float64Array.from(all, ([, strain], k) => (k < points.length ? strain : 0.0101) * 0.115) }
      : {}),
  };
}

const reduce = (curve: Curve, options?: ReductionOptions, setup: Partial<Setup> = {}): Reduction =>
  reduceCurve(curve, { ...SETUP, ...setup }, options);
const codes = ({ flags }: Reduction): FlagCode[] => flags.map(({ code }) => code);

describe('reduction of a curve', () => {
  it('a straight bar gives its modulus, strength and strain to the last digits, and its tail is cut', () => {
    const r = reduce(curveOf(straight));
    expect(r.modulusRegression! / MODULUS).toBeCloseTo(1, 10);
    expect(r.modulusChord! / MODULUS).toBeCloseTo(1, 10);
    // Readings at 0.05 and 0.25 % themselves are inside, rounding or not.
    expect(r.modulusReadings).toBe(41);
    expect(r.strength).toBeCloseTo(60e6, 3);
    expect(r.strainAtBreak).toBeCloseTo(0.01, 12);
    expect(r.curveType).toBe('a');
    expect(r.readingsAfterBreak).toBe(2);
    expect(r.breakSeen).toBe(true);
    expect(codes(r)).toEqual(['tail']);
  });

  it('without a collapse the last reading is the break, and it is known that none was seen', () => {
    const curve = curveOf(straight);
    const r = reduce({
      force: curve.force.slice(0, 201),
      extension: curve.extension!.slice(0, 201),
    });
    expect(r.breakSeen).toBe(false);
    expect(r.breakIndex).toBe(200);
    expect(codes(r)).toEqual([]);
  });

  it('a record without tension is refused', () => {
    expect(() => reduce({ force: new Float64Array(20).fill(-1) })).toThrow(Refusal);
  });

  it('force alone gives the strength alone', () => {
    const r = reduce(curveOf(straight, {}));
    expect(codes(r)).toEqual(['tail', 'no_strain']);
    expect(r.strength).toBeCloseTo(60e6, 3);
    expect(r.modulusRegression).toBe(null);
    expect(r.strainAtBreak).toBe(null);
  });

  it('grips alone give nominal strains and an apparent modulus, never one of the standard', () => {
    const r = reduce(curveOf(straight, { grip: true }));
    expect(codes(r)).toEqual(['tail', 'grips']);
    expect(r.modulusKind).toBe('apparent');
    expect(r.strainAtBreakKind).toBe('travel over grip distance');
    expect(r.nominalStrainA).toBeCloseTo(0.01, 10);
  });

  it('a toe is moved out by itself, left in when asked, and its strain is taken off everywhere', () => {
    // 0.06 % of strain at hardly any stress before the straight bar begins.
    const toe: Points = [
      ...Array.from({ length: 12 }, (_, k) => [0.01e6 * k, 5e-5 * k] as const),
      ...straight.map(([stress, strain]) => [stress + 0.12e6, strain + 6e-4] as const),
    ];
    const r = reduce(curveOf(toe));
    expect(codes(r)).toEqual(['tail', 'toe']);
    expect(r.toeShift).toBeCloseTo(6e-4 - 0.12e6 / MODULUS, 6);
    expect(r.modulusRegression! / MODULUS).toBeCloseTo(1, 6);
    expect(r.strainAtBreak).toBeCloseTo(60.12e6 / MODULUS, 6);
    const left = reduce(curveOf(toe), { toe: 'none' });
    expect(codes(left)).not.toContain('toe');
    expect(left.strainAtBreak! - r.strainAtBreak!).toBeCloseTo(r.toeShift, 9);
    // By hand: 0.19 % of the straight bar and the toe's own 0.02 MPa over 0.2 % of strain.
    expect(left.modulusChord! / MODULUS).toBeCloseTo((0.0019 * 6000 + 0.12 - 0.1) / 0.002 / 6000, 6);
  });

  it('a toe by range crosses zero where its straight line does', () => {
    const r = reduce(curveOf(straight.map(([stress, strain]) => [stress, strain + 3e-4] as const)), {
      toe: 'range',
      toeRange: [0.002, 0.006],
    });
    expect(r.toeShift).toBeCloseTo(3e-4, 12);
    expect(r.strainAtBreak).toBeCloseTo(0.01, 10);
    expect(codes(r)).toEqual(['tail', 'toe']);
  });

  it('a curve that bends over within the first rise has no toe', () => {
    const knee: Points = Array.from({ length: 400 }, (_, k) => {
      const strain = 5e-5 * k;
      return [strain < 0.003 ? MODULUS * strain : 18e6 + 2e9 * (strain - 0.003), strain] as const;
    });
    const r = reduce(curveOf(knee));
    expect(codes(r)).toEqual(['tail']);
    expect(r.toeShift).toBe(0);
  });

  it('an extensometer that was not set to zero is told, and strains count from its first reading', () => {
    const r = reduce(curveOf(straight.map(([stress, strain]) => [stress, strain - 0.004] as const)));
    expect(codes(r)).toEqual(['tail', 'offset']);
    expect(r.strainAtBreak).toBeCloseTo(0.01, 10);
    expect(r.modulusRegression! / MODULUS).toBeCloseTo(1, 8);
  });

  it('too few readings in the window, and a strain that never reaches it, are told', () => {
    const few = reduce(curveOf(straight.filter((_, k) => k % 8 === 0)));
    expect(codes(few)).toEqual(['tail', 'few']);
    expect(few.modulusReadings).toBe(5);
    expect(few.modulusRegression! / MODULUS).toBeCloseTo(1, 8);
    const early = reduce(curveOf(straight.slice(0, 40)));
    expect(codes(early)).toEqual(['tail', 'few']);
    expect(early.modulusRegression).toBe(null);
  });

  it('a preload above modulus/2000 is told', () => {
    const preloaded = straight.map(([stress, strain]) => [stress + 3.1e6, strain] as const);
    expect(codes(reduce(curveOf(preloaded)))).toEqual(['tail', 'preload']);
    const little = straight.map(([stress, strain]) => [stress + 2.9e6, strain] as const);
    expect(codes(reduce(curveOf(little)))).toEqual(['tail']);
  });

  it('a curve that is no line in the window is told', () => {
    const bent = straight.map(([, strain]) => [20e6 * Math.sqrt(strain / 0.01), strain] as const);
    expect(codes(reduce(curveOf(bent), { toe: 'none' }))).toContain('bent');
  });

  /** The straight bar that loses a share of its stress at reading `at` and loads again along its own line. */
  function slipping(at: number, gauge: boolean, share = 0.08): { curve: Curve; lost: number } {
    const [stress, strain] = straight[at]!;
    const drop = share * stress;
    const points: [number, number, number][] = straight
      .slice(0, at + 1)
      .map(([s, e]) => [s, e, e * 0.115] as [number, number, number]);
    const back = drop / MODULUS;
    for (let k = 0; k <= 8; k++) {
      const way = k / 8;
      points.push([
        stress - drop + way * drop,
        strain - back + way * back,
        strain * 0.115 + 2e-5 + way * back * 0.115,
      ]);
    }
    const lost = 2e-5 + back * 0.115;
    for (const [s, e] of straight.slice(at + 1)) points.push([s, e, e * 0.115 + lost]);
    const end = points.at(-1)![2];
    points.push([2e6, 0.003, end + 1e-5], [0, 0.003, end + 2e-5]);
    return {
      lost,
      curve: {
        force: Float64Array.from(points, ([s]) => s * SECTION),
        grip: Float64Array.from(points, ([, , d]) => d),
        ...(gauge ? { extension: Float64Array.from(points, ([, e]) => e * 0.05) } : {}),
      },
    };
  }

  it('a slip leaves the strength, and the travel it lost is taken out and shown', () => {
    for (const gauge of [true, false]) {
      const { curve, lost } = slipping(120, gauge);
      const r = reduce(curve);
      expect(codes(r)).toEqual(gauge ? ['tail', 'slip'] : ['tail', 'grips', 'slip']);
      expect(r.strength).toBeCloseTo(60e6, 3);
      expect(r.slipTravel).toBeCloseTo(lost, 9);
      expect(r.nominalStrainA).toBeCloseTo(0.01, 8);
      expect(r.curveType).toBe('a');
      expect(r.modulusRegression! / MODULUS).toBeCloseTo(1, 6);
    }
  });

  it('slip removed and travel kept add up to the travel recorded', () => {
    const { curve } = slipping(120, false);
    const r = reduce(curve);
    expect(r.nominalStrainA! * 0.115 + r.slack + r.slipTravel).toBeCloseTo(curve.grip![r.breakIndex]!, 12);
  });

  it('a slip inside the modulus window voids the modulus of grips alone, not that of an extensometer', () => {
    const bare = reduce(slipping(30, false).curve, { toe: 'none' });
    expect(codes(bare)).toEqual(['tail', 'grips', 'slip', 'slip_modulus']);
    expect(bare.modulusRegression).toBe(null);
    const gauged = reduce(slipping(30, true).curve, { toe: 'none' });
    expect(codes(gauged)).toEqual(['tail', 'slip']);
    expect(gauged.modulusRegression! / MODULUS).toBeCloseTo(1, 6);
  });

  it('a slip that throws the extensometer back by many steps is no end of it', () => {
    const r = reduce(slipping(120, true, 0.3).curve);
    expect(codes(r)).toEqual(['tail', 'slip']);
    expect(r.strainAtBreak).toBeCloseTo(0.01, 10);
  });

  it('a yield is no slip: its stress falls while the bar goes on', () => {
    const yielding: Points = [
      ...straight,
      ...Array.from({ length: 100 }, (_, k) => [60e6 - 0.1e6 * (k + 1), 0.01 + 2e-4 * (k + 1)] as const),
    ];
    for (const channels of [{ gauge: true }, { grip: true }]) {
      const r = reduce(curveOf(yielding, channels));
      expect(r.slips).toEqual([]);
      expect(r.curveType).toBe('b');
      expect(r.yieldStress).toBeCloseTo(60e6, 3);
      expect(r.yieldStrain).toBeCloseTo(0.01, 8);
      expect(r.stressAtBreak).toBeCloseTo(50e6, 3);
    }
    const rising: Points = [
      ...yielding,
      ...Array.from({ length: 150 }, (_, k) => [50e6 + 0.1e6 * (k + 1), 0.03 + 2e-4 * (k + 1)] as const),
    ];
    const r = reduce(curveOf(rising));
    expect(r.curveType).toBe('c');
    expect(r.strength).toBeCloseTo(60e6, 3);
    expect(r.stressMost).toBeCloseTo(65e6, 3);
  });

  it('behind an extensometer that was taken off strain is nominal, with an estimate by its last pace', () => {
    const curve = curveOf(straight, { gauge: true, grip: true });
    const grip = curve.grip!.map((value) => 2 * value);
    const ways = {
      blank: curve.extension!.map((value, k) => (k > 120 ? Number.NaN : value)),
      frozen: curve.extension!.map((value, k) => (k > 120 ? curve.extension![120]! : value)),
      dropped: curve.extension!.map((value, k) => (k > 120 ? 1e-6 : value)),
    };
    for (const [way, extension] of Object.entries(ways)) {
      const r = reduce({ ...curve, grip, extension });
      expect(codes(r), way).toEqual(['tail', 'ext_off']);
      expect(r.strainAtBreakKind).toBe('nominal behind the extensometer');
      expect(r.strainAtBreak, way).toBeCloseTo(0.006 + 2 * 0.004, 9);
      expect(r.strainAtBreakEstimate, way).toBeCloseTo(0.01, 9);
      expect(r.modulusRegression! / MODULUS).toBeCloseTo(1, 8);
    }
  });

  it('a single reading far above its neighbours is told, before anybody takes it for the strength', () => {
    const curve = curveOf(straight);
    const force = curve.force.map((value, k) => (k === 150 ? 3 * value : value));
    expect(codes(reduce({ ...curve, force }))).toContain('spike');
  });

  it('blank travel at the break gives no nominal strain, blanks before it do no harm', () => {
    const curve = curveOf(straight, { gauge: true, grip: true });
    const end = reduce({ ...curve, grip: curve.grip!.map((value, k) => (k > 190 ? Number.NaN : value)) });
    expect(end.nominalStrainA).toBe(null);
    const within = reduce({
      ...curve,
      grip: curve.grip!.map((value, k) => (k > 90 && k < 99 ? Number.NaN : value)),
    });
    expect(within.nominalStrainA).toBeCloseTo(0.01, 10);
    expect(codes(within)).toEqual(['tail']);
  });

  it('a few blank readings are a gap and no end of the extensometer', () => {
    const curve = curveOf(straight, { gauge: true, grip: true });
    const extension = curve.extension!.map((value, k) => (k > 80 && k < 84 ? Number.NaN : value));
    expect(codes(reduce({ ...curve, extension }))).toEqual(['tail']);
  });

  it('readings that follow faster than the extensometer resolves are no end of it', () => {
    const many = Array.from({ length: 4001 }, (_, k) => [15e3 * k, 2.5e-6 * k] as const);
    const curve = curveOf(many, { gauge: true, grip: true });
    const coarse = curve.extension!.map((value) => Math.round(value / 2e-6) * 2e-6);
    expect(codes(reduce({ ...curve, extension: coarse }))).toEqual(['tail']);
  });

  it("Poisson's ratio is minus the slope of the change of width, in m or as a strain", () => {
    const curve = curveOf(straight);
    const across = curve.extension!.map((value) => (-0.38 * value) / 0.05);
    const asStrain = reduce({ ...curve, transverseStrain: across });
    expect(asStrain.poisson).toBeCloseTo(0.38, 10);
    const inMetres = reduce({ ...curve, transverse: across.map((value) => value * 0.01) });
    expect(inMetres.poisson).toBeCloseTo(0.38, 10);
  });

  it('a record in kN by mistake scales every stress alike and nothing else', () => {
    const curve = curveOf(straight);
    const [a, b] = [reduce(curve), reduce({ ...curve, force: curve.force.map((force) => force / 1000) })];
    expect(b.modulusRegression! * 1000).toBeCloseTo(a.modulusRegression!, 0);
    expect(b.strainAtBreak).toBe(a.strainAtBreak);
    expect(codes(b)).toEqual(codes(a));
  });
});
