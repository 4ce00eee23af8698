import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCurves } from '../../src/engine/curves/read.ts';
import { curveOf } from '../../src/engine/curves/recorded-bars.ts';
import { reduceCurve } from '../../src/engine/curves/reduce.ts';
import type { FlagCode, Reduction } from '../../src/engine/curves/reduction.ts';
import { equivalentLength, specimenOf } from '../../src/engine/curves/specimen.ts';

// Goal: every export of tests/data/curves is read without a question and reduced to its truth, with the flags of what
// was done to it and no others. Method: the files and their noise-free truth were made by another program; sizes and
// compliance are those of the truth.

type TruthBar = {
  name: string;
  specimen_type: string;
  width_mm: number;
  thickness_mm: number;
  gauge_length_mm: number;
  grip_distance_mm: number;
  machine_compliance_mm_per_N: number;
  E_chord_MPa: number;
  E_regression_MPa: number;
  strength_MPa: number;
  strain_at_break: number;
  poisson: number;
  strain_before_first_reading: number;
  toe_strain: number;
  slack_mm: number;
  slips: { grip_slip_mm: number }[];
  extensometer_off_at_strain: number | null;
  grip_travel_at_break_mm_without_slack_and_slip: number;
};

const FOLDER = join(import.meta.dirname, '../data/curves');
const load = (file: string) => new Uint8Array(readFileSync(join(FOLDER, file)));
const json = (file: string) => JSON.parse(readFileSync(join(FOLDER, file), 'utf8'));
const TRUTHS: { file: string; bars: TruthBar[] }[] = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.truth.json'))
  .sort()
  .map(json);

function reduced(file: string, bars: TruthBar[]): Reduction[] {
  return readCurves(file, load(file)).bars.map((bar, k) => {
    const truth = bars[k]!;
    const section = truth.width_mm * truth.thickness_mm * 1e-6;
    return reduceCurve(curveOf(bar, section), {
      width: truth.width_mm / 1e3,
      thickness: truth.thickness_mm / 1e3,
      gaugeLength: truth.gauge_length_mm / 1e3,
      gripDistance: truth.grip_distance_mm / 1e3,
      equivalentLength: equivalentLength(specimenOf(truth.specimen_type)!),
      compliance: truth.machine_compliance_mm_per_N / 1e3,
    });
  });
}

function expectedFlags(file: string, truth: TruthBar): FlagCode[] {
  const flags: FlagCode[] = ['tail'];
  if (file.startsWith('p6')) flags.push('grips');
  // The toe of p7 ends at a strain inside the window of the modulus: its curve says so by itself.
  if (truth.toe_strain > 0) flags.push('toe', 'toe_modulus');
  if (truth.slips.length > 0) flags.push('slip');
  if (truth.extensometer_off_at_strain !== null) flags.push('ext_off');
  return flags;
}

describe.each(TRUTHS)('$file', ({ file, bars }) => {
  const reading = readCurves(file, load(file));
  const results = reduced(file, bars);

  it('all its bars are read by name, and nothing is asked', () => {
    expect(reading.questions).toEqual([]);
    expect(reading.notes).toEqual([]);
    expect(reading.bars).toHaveLength(bars.length);
    for (const [k, bar] of reading.bars.entries()) if (bar.named) expect(bar.name).toBe(bars[k]!.name);
    // Files without a name in them: one bar each.
    if (reading.bars.some(({ named }) => !named)) expect(bars).toHaveLength(1);
  });

  it('sizes that stand in it are those of the bars', () => {
    for (const [k, { measures }] of reading.bars.entries()) {
      if (measures.width !== null) expect(measures.width).toBeCloseTo(bars[k]!.width_mm / 1e3, 12);
      if (measures.thickness !== null)
        expect(measures.thickness).toBeCloseTo(bars[k]!.thickness_mm / 1e3, 12);
    }
  });

  it('strength within 0.2 %, modulus within 1 % (3 % of slow sampling or a toe), strain at break within 0.01 %', () => {
    for (const [k, r] of results.entries()) {
      const truth = bars[k]!;
      expect(Math.abs(r.strength / 1e6 / truth.strength_MPa - 1)).toBeLessThan(0.002);
      const room = file.startsWith('p7') || file.startsWith('p8') ? 0.03 : 0.01;
      expect(Math.abs(r.modulusRegression! / 1e6 / truth.E_regression_MPa - 1)).toBeLessThan(room);
      if (file.startsWith('p6') || file.startsWith('p7')) {
        // Nominal from the grips: strain at break comes out low, and its kind says so.
        expect(Math.abs(r.strainAtBreak! - truth.strain_at_break)).toBeLessThan(0.0035);
        expect(r.strainAtBreakKind).not.toBe('extensometer');
      } else {
        const counted = truth.strain_at_break - truth.strain_before_first_reading;
        expect(Math.abs(r.strainAtBreak! - counted)).toBeLessThan(1e-4);
        expect(r.strainAtBreakKind).toBe('extensometer');
      }
    }
  });

  it('has the flags of what was done to its record, and no others', () => {
    for (const [k, r] of results.entries())
      expect(r.flags.map(({ code }) => code).sort()).toEqual(expectedFlags(file, bars[k]!).sort());
  });

  it('travel without slack and slip is that of the truth', () => {
    for (const [k, r] of results.entries()) {
      const truth = bars[k]!;
      if (r.nominalStrainA === null) continue;
      // The pull that straightens a curled bar is travel too, and goes out with the slack.
      const straightened = truth.toe_strain * truth.grip_distance_mm;
      const wanted = truth.grip_travel_at_break_mm_without_slack_and_slip - straightened;
      expect(Math.abs(r.nominalStrainA * truth.grip_distance_mm - wanted)).toBeLessThan(0.012);
      const slipped = truth.slips.reduce((sum, slip) => sum + slip.grip_slip_mm, 0);
      expect(Math.abs(r.slipTravel * 1e3 - slipped)).toBeLessThan(0.005);
    }
  });
});

describe('what single files are about', () => {
  it("p3: Poisson's ratio within 2 % of 0.38", () => {
    const { file, bars } = TRUTHS.find((one) => one.file.startsWith('p3'))!;
    const [r] = reduced(file, bars);
    expect(Math.abs(r!.poisson! / bars[0]!.poisson - 1)).toBeLessThan(0.02);
  });

  it('p7: the estimate behind the extensometer is nearer to the truth than the nominal strain', () => {
    const { file, bars } = TRUTHS.find((one) => one.file.startsWith('p7'))!;
    const [r] = reduced(file, bars);
    const off = (strain: number) => Math.abs(strain - bars[0]!.strain_at_break);
    expect(off(r!.strainAtBreakEstimate!)).toBeLessThan(off(r!.strainAtBreak!));
  });
});

describe('the campaign', () => {
  type CampaignBar = {
    bar: string;
    width_mm: number[];
    thickness_mm: number[];
    truth_strength_MPa: number;
    truth_E_MPa: number;
  };
  const { bars } = json('campaign.json') as { bars: CampaignBar[] };
  const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length / 1e3;
  const found = [1, 2, 3, 4].flatMap((plate) => {
    const file = `campaign-plate-${plate}.csv`;
    const reading = readCurves(file, load(file));
    expect(reading.questions).toEqual([]);
    return reading.bars.map((bar) => {
      const truth = bars.find((one) => one.bar === bar.name)!;
      const [width, thickness] = [mean(truth.width_mm), mean(truth.thickness_mm)];
      const r = reduceCurve(curveOf(bar, width * thickness), {
        width,
        thickness,
        gaugeLength: 0.05,
        gripDistance: 0.115,
      });
      return { bar, truth, r };
    });
  });

  it('has all 25 bars, each once', () => {
    expect(found.map(({ bar }) => bar.name).sort()).toEqual(bars.map(({ bar }) => bar).sort());
  });

  it('strengths within 0.4 % of the truth: the sizes are means of three readings to 0.01 mm', () => {
    for (const { bar, truth, r } of found)
      expect(Math.abs(r.strength / 1e6 / truth.truth_strength_MPa - 1), bar.name).toBeLessThan(0.004);
  });

  it('F03 slipped, and no other', () => {
    expect(
      found.filter(({ r }) => r.flags.some(({ code }) => code === 'slip')).map(({ bar }) => bar.name),
    ).toEqual(['F03']);
    const others = found.flatMap(({ r }) => r.flags.map(({ code }) => code));
    expect([...new Set(others)].sort()).toEqual(['slip', 'tail']);
  });
});
