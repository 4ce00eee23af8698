import { z } from 'zod';
import { type Host, type Kernel, kernel, Refusal } from '../kernel.ts';
import { machineCompliance } from './compliance.ts';
import { bytesOf } from './encoding.ts';
import { barKernels, MM, MPA, specimen } from './kernels-bar.ts';
import { oddities } from './plausible.ts';
import { readCurves } from './read.ts';
import type { Reading } from './reading.ts';
import { curveOf } from './recorded-bars.ts';
import { reduceCurve } from './reduce.ts';
import type { Reduction } from './reduction.ts';
import { equivalentLength } from './specimen.ts';

const positive = z.number().positive();
const figure = z.number().nullable();

function readFile(host: Host, path: string): Reading {
  const source = host.open(path);
  // Loading and parsing take about as long as one another.
  const bytes = bytesOf(source, (share) => host.progress?.(share / 2));
  return readCurves(source.name, bytes, { progress: (share) => host.progress?.(0.5 + share / 2) });
}

const columnOut = z.strictObject({
  column: z.number(),
  heading: z.string(),
  role: z.string(),
  unit: z.string().nullable(),
  from: z.string(),
  evidence: z.string(),
});

const read = kernel({
  name: 'curves.read',
  what: 'Reads the text export of a test machine: its bars, what each column is and why, and what has to be asked',
  inputs: z
    .strictObject({ file: z.string().optional(), text: z.string().optional() })
    .refine(({ file, text }) => (file === undefined) !== (text === undefined), 'give either file or text'),
  outputs: z.strictObject({
    bars: z.number(),
    names: z.array(z.string()),
    must_ask: z.boolean(),
    columns: z.array(columnOut),
    encoding: z.string(),
    delimiter: z.string(),
    decimal: z.string(),
    evidence: z.array(z.string()),
    questions: z.array(z.string()),
    notes: z.array(z.string()),
    readings: z.array(z.number()),
    dimensions_mm: z.array(z.strictObject({ b: figure, h: figure, L0: figure, L: figure })),
    fingerprints: z.array(z.string()),
  }),
  run: ({ file, text }, host) => {
    const found = file === undefined ? readCurves('The text', utf8(text!)) : readFile(host, file);
    const mm = (length: number | null) => (length === null ? null : Number((length / MM).toPrecision(12)));
    return {
      bars: found.bars.length,
      names: found.bars.map(({ name }) => name),
      must_ask: found.questions.length > 0,
      columns: found.columns.map(({ index, heading, role, unit, from, evidence }) => ({
        column: index + 1,
        heading,
        role,
        unit,
        from,
        evidence,
      })),
      encoding: found.encoding,
      delimiter: found.delimiter,
      decimal: found.decimal,
      evidence: [...found.evidence],
      questions: found.questions.map(({ sentence }) => sentence),
      notes: [...found.notes],
      readings: found.bars.map(({ channels }) => (channels.force ?? channels.stress!).length),
      dimensions_mm: found.bars.map(({ measures: m }) => ({
        b: mm(m.width),
        h: mm(m.thickness),
        L0: mm(m.gaugeLength),
        L: mm(m.gripDistance),
      })),
      fingerprints: found.layouts.map(({ fingerprint }) => fingerprint),
    };
  },
});

function utf8(text: string): Uint8Array {
  const { TextEncoder } = globalThis as unknown as {
    TextEncoder: new () => { encode(text: string): Uint8Array };
  };
  return new TextEncoder().encode(text);
}

const reading = z.number().nullable();
const readings = z.array(reading);
const series = (values: readonly (number | null)[], factor = 1) =>
  Float64Array.from(values, (value) => (value === null ? Number.NaN : value * factor));

const reduceOut = z.strictObject({
  E_chord: figure,
  E_regression: figure,
  E_se: figure,
  E_r2: figure,
  E_readings: z.number(),
  E_kind: z.string().nullable(),
  strength: z.number(),
  strain_at_strength: figure,
  strain_at_break: figure,
  strain_at_break_kind: z.string().nullable(),
  strain_at_break_estimate: figure,
  stress_at_break: z.number(),
  max_stress: z.number(),
  yield_stress: figure,
  yield_strain: figure,
  curve_type: z.string().nullable(),
  toe_strain_shift: z.number(),
  toe_se: figure,
  slack_mm: z.number(),
  nominal_strain_A_at_break: figure,
  nominal_strain_B_at_break: figure,
  poisson: figure,
  poisson_se: figure,
  equivalent_length_mm: figure,
  slip_mm: z.number(),
  break_seen: z.boolean(),
  readings_after_break: z.number(),
  flags: z.array(z.string()),
  sentences: z.array(z.string()),
});

function reductionOut(r: Reduction): z.infer<typeof reduceOut> {
  const mpa = (stress: number | null) => (stress === null ? null : stress / MPA);
  return {
    E_chord: mpa(r.modulusChord),
    E_regression: mpa(r.modulusRegression),
    E_se: mpa(r.modulusError),
    E_r2: r.modulusR2,
    E_readings: r.modulusReadings,
    E_kind: r.modulusKind,
    strength: r.strength / MPA,
    strain_at_strength: r.strainAtStrength,
    strain_at_break: r.strainAtBreak,
    strain_at_break_kind: r.strainAtBreakKind,
    strain_at_break_estimate: r.strainAtBreakEstimate,
    stress_at_break: r.stressAtBreak / MPA,
    max_stress: r.stressMost / MPA,
    yield_stress: mpa(r.yieldStress),
    yield_strain: r.yieldStrain,
    curve_type: r.curveType,
    toe_strain_shift: r.toeShift,
    toe_se: r.toeError,
    slack_mm: r.slack / MM,
    nominal_strain_A_at_break: r.nominalStrainA,
    nominal_strain_B_at_break: r.nominalStrainB,
    poisson: r.poisson,
    poisson_se: r.poissonError,
    equivalent_length_mm: r.equivalentLength === null ? null : r.equivalentLength / MM,
    slip_mm: r.slipTravel / MM,
    break_seen: r.breakSeen,
    readings_after_break: r.readingsAfterBreak,
    flags: r.flags.map(({ code }) => code),
    sentences: r.flags.map(({ sentence }) => sentence),
  };
}

const reduce = kernel({
  name: 'curves.reduce',
  what: 'Reduces the curve of one bar: modulus, strength, strains, type of curve and flags',
  inputs: z.strictObject({
    force_N: z.array(z.number()).min(2),
    ext_mm: readings.optional(),
    grip_mm: readings.optional(),
    trans_mm: readings.optional(),
    b: positive,
    h: positive,
    L0: positive,
    L: positive,
    machine_compliance_mm_per_N: z.number().min(0).optional(),
    specimen: z.string().optional(),
    options: z
      .strictObject({
        toe: z.enum(['auto', 'none', 'range']).optional(),
        toe_range: z.tuple([z.number(), z.number()]).optional(),
      })
      .optional(),
  }),
  outputs: reduceOut,
  run: (i) => {
    for (const [key, values] of Object.entries({
      ext_mm: i.ext_mm,
      grip_mm: i.grip_mm,
      trans_mm: i.trans_mm,
    }))
      if (values !== undefined && values.length !== i.force_N.length)
        throw new Refusal(
          `${key} has ${values.length} readings and force_N ${i.force_N.length}; expected as many.`,
        );
    if (i.options?.toe === 'range' && i.options.toe_range === undefined)
      throw new Refusal('A toe by range needs toe_range, two strains such as [0.006, 0.012].');
    const channel = (values: (number | null)[] | undefined) =>
      values === undefined ? undefined : series(values, MM);
    return reductionOut(
      reduceCurve(
        {
          force: series(i.force_N),
          extension: channel(i.ext_mm),
          grip: channel(i.grip_mm),
          transverse: channel(i.trans_mm),
        },
        {
          width: i.b * MM,
          thickness: i.h * MM,
          gaugeLength: i.L0 * MM,
          gripDistance: i.L * MM,
          equivalentLength:
            i.specimen === undefined ? null : equivalentLength(specimen(i.specimen), i.L * MM),
          compliance: i.machine_compliance_mm_per_N === undefined ? null : i.machine_compliance_mm_per_N * MM,
        },
        { toe: i.options?.toe, toeRange: i.options?.toe_range },
      ),
    );
  },
});

const reduceFile = kernel({
  name: 'curves.reduceFile',
  what: 'Reads an export and reduces every bar in it, roles as guessed, toe by itself',
  inputs: z.strictObject({
    file: z.string(),
    specimen: z.string(),
    dimensions_mm: z.array(z.tuple([positive, positive])),
    L0: positive,
    L: positive,
    machine_compliance_mm_per_N: z.number().min(0).optional(),
  }),
  outputs: z.strictObject({
    bars: z.number(),
    must_ask: z.boolean(),
    per_bar: z.array(
      z.strictObject({
        name: z.string(),
        strength_MPa: z.number(),
        E_regression_MPa: figure,
        strain_at_break: figure,
        reduction: reduceOut,
      }),
    ),
    flags: z.array(z.string()),
    questions: z.array(z.string()),
  }),
  run: (i, host) => {
    const type = specimen(i.specimen);
    const found = readFile(host, i.file);
    if (found.bars.length !== i.dimensions_mm.length)
      throw new Refusal(
        `${found.file} holds ${found.bars.length} bars (${found.bars.map(({ name }) => name).join(', ')}), and the sizes of ${i.dimensions_mm.length} are given. Expected one pair of width and thickness for each.`,
      );
    const questions = new Set(found.questions.map(({ sentence }) => sentence));
    const perBar = found.bars.map((bar, k) => {
      const [b, h] = i.dimensions_mm[k]!;
      const section = b * h * MM ** 2;
      for (const { sentence } of oddities(bar, found.columns, section, i.L0 * MM, i.L * MM))
        questions.add(sentence);
      const reduction = reductionOut(
        reduceCurve(curveOf(bar, section), {
          width: b * MM,
          thickness: h * MM,
          gaugeLength: i.L0 * MM,
          gripDistance: i.L * MM,
          equivalentLength: equivalentLength(type, i.L * MM),
          compliance: i.machine_compliance_mm_per_N === undefined ? null : i.machine_compliance_mm_per_N * MM,
        }),
      );
      return {
        name: bar.name,
        strength_MPa: reduction.strength,
        E_regression_MPa: reduction.E_regression,
        strain_at_break: reduction.strain_at_break,
        reduction,
      };
    });
    return {
      bars: found.bars.length,
      must_ask: questions.size > 0,
      per_bar: perBar,
      flags: [...new Set(perBar.flatMap(({ reduction }) => reduction.flags))],
      questions: [...questions],
    };
  },
});

const compliance = kernel({
  name: 'curves.compliance',
  what: 'Give of machine and grips from a bar that has both an extensometer and the travel of the grips',
  inputs: z.strictObject({ file: z.string(), L0: positive, L: positive, specimen: z.string() }),
  outputs: z.strictObject({ C_mm_per_N: z.number(), se: z.number(), readings: z.number() }),
  run: ({ file, L0, L, specimen: type }, host) => {
    const bar = specimen(type);
    const found = readFile(host, file);
    const both = found.bars.find(
      ({ channels: c }) =>
        c.force !== undefined && c.grip !== undefined && (c.strain ?? c.extension) !== undefined,
    );
    if (both === undefined)
      throw new Refusal(
        `${found.file} has no bar with force, extensometer and travel of the grips together.`,
      );
    const { force, grip, strain, extension } = both.channels;
    const along = strain ?? extension!.map((value) => value / (L0 * MM));
    const {
      compliance: value,
      error,
      count,
    } = machineCompliance(force!, along, grip!, equivalentLength(bar, L * MM));
    return { C_mm_per_N: value / MM, se: error / MM, readings: count };
  },
});

export const kernels: Kernel[] = [...barKernels, read, reduce, reduceFile, compliance];
