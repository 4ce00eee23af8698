import { z } from 'zod';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { causeTable, partLostMedian, sparesMedians } from './kernel-defaults.ts';
import { betaFrom, partLost, sparesForKg, sparesForPrints, wornNozzles } from './spares.ts';
import { looks } from './tell-apart.ts';
import type { When } from './when.ts';
import { causeShares, familyBands, familyShares, hazards } from './why.ts';

const share = z.number().min(0).max(1);
const positive = z.number().positive();
const notNegative = z.number().min(0);
const saw = z.record(z.string(), z.boolean());

const when: z.ZodType<When> = z.lazy(() =>
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('even') }),
    z.strictObject({ kind: z.literal('start'), meanH: positive }),
    z.strictObject({ kind: z.literal('log'), medianH: positive, s: positive }),
    z.strictObject({ kind: z.literal('power'), p: notNegative }),
    z.strictObject({ kind: z.literal('mix'), of: z.array(z.tuple([share, when])).min(1) }),
    z.strictObject({
      kind: z.literal('holds'),
      hours: z.array(notNegative).min(2),
      holds: z.array(share).min(2),
    }),
  ]),
);

const SIGNS = causeTable.signs.map((sign) => sign.id);
const CAUSES = causeTable.causes.map((cause) => cause.id);

function known(names: readonly string[], list: readonly string[], what: string): void {
  for (const name of names)
    if (!list.includes(name))
      throw new Refusal(`"${name}" is no ${what}: expected one of ${list.join(', ')}.`);
}

function curveInOrder(name: string, w: When | undefined): void {
  if (w?.kind === 'mix') for (const [, part] of w.of) curveInOrder(name, part);
  if (w?.kind !== 'holds') return;
  if (w.hours.length !== w.holds.length)
    throw new Refusal(`The curve of "${name}" has ${w.hours.length} hours and ${w.holds.length} values.`);
  if (w.hours.some((hour, i) => i > 0 && hour <= w.hours[i - 1]!))
    throw new Refusal(`The hours of the curve of "${name}" do not rise.`);
}

const sharesOut = z.record(z.string(), z.number());

const whyKernel = kernel({
  name: 'jam.why',
  what: 'Causes of a stopped print, ranked for what was seen and when',
  inputs: z.strictObject({
    hours: notNegative,
    lengthH: positive,
    causes: z.record(z.string(), z.strictObject({ chance: share, when: when.optional() })),
    saw,
    draws: z.int().min(2).max(100000).optional(),
    seed: z.int().optional(),
  }),
  outputs: z.strictObject({
    chance: sharesOut,
    family: sharesOut,
    first: z.string().nullable(),
    family_10_90: z.record(z.string(), z.tuple([z.number(), z.number()])).optional(),
  }),
  run({ hours, lengthH, causes, saw: seen, draws, seed = 1 }) {
    known(Object.keys(causes), CAUSES, 'cause');
    known(Object.keys(seen), SIGNS, 'sign');
    if (hours > lengthH) throw new Refusal(`${hours} h lies after the end of the print, ${lengthH} h.`);
    const before = Object.fromEntries(
      Object.entries(causes).map(([id, c]) => {
        curveInOrder(id, c.when);
        return [id, { chance: c.chance, ...(c.when ? { when: c.when } : {}) }];
      }),
    );
    const rates = hazards(causeTable, before, hours, lengthH);
    const shares = causeShares(causeTable, rates, seen);
    const given = causeTable.causes.map((cause, l) => ({ ...cause, l })).filter(({ id }) => id in causes);
    const families = new Set(given.map(({ family }) => family));
    const only = <T>(map: Map<string, T>) =>
      Object.fromEntries([...map].filter(([family]) => families.has(family))) as Record<string, T>;
    const family = only(familyShares(causeTable, shares));
    const ranked = Object.entries(family).sort(([, a], [, b]) => b - a);
    return {
      chance: Object.fromEntries(given.map(({ id, l }) => [id, shares[l]!])),
      family,
      first: ranked[0] && ranked[0][1] > 0 ? ranked[0][0] : null,
      ...(draws === undefined
        ? {}
        : { family_10_90: only(familyBands(causeTable, rates, seen, draws, seed)) }),
    };
  },
});

const tellApartKernel = kernel({
  name: 'jam.tellApart',
  what: 'Which look tells the causes apart soonest, and whether it is worth its minutes',
  inputs: z.strictObject({ chance: z.record(z.string(), share), saw: saw.default({}) }),
  outputs: z.strictObject({
    order: z.array(z.string()),
    best: z.string().nullable(),
    gain: sharesOut,
    minutes: sharesOut,
  }),
  run({ chance, saw: seen }) {
    known(Object.keys(chance), CAUSES, 'cause');
    known(Object.keys(seen), SIGNS, 'sign');
    const ranked = looks(
      causeTable,
      CAUSES.map((id) => chance[id] ?? 0),
      seen,
    );
    const order = ranked.filter((look) => look.worth > 0).map((look) => look.sign);
    return {
      order,
      best: order[0] ?? null,
      gain: Object.fromEntries(ranked.map((look) => [look.sign, look.gain])),
      minutes: Object.fromEntries(ranked.map((look) => [look.sign, look.minutes])),
    };
  },
});

const partLostKernel = kernel({
  name: 'jam.partLost',
  what: 'Chance that a print costs a nozzle or hot end',
  inputs: z.strictObject({ chance: z.record(z.string(), share) }),
  outputs: z.strictObject({ chance: z.number() }),
  run({ chance }) {
    known(Object.keys(chance), CAUSES, 'cause');
    return {
      chance: partLost(causeTable.causes.map(({ id, part }) => ({ chance: chance[id] ?? 0, part }))),
    };
  },
});

const betaKernel = kernel({
  name: 'jam.betaFrom',
  what: 'Beta law of a chance from its mean and standard deviation',
  inputs: z.strictObject({ mean: z.number().gt(0).lt(1), sd: positive }),
  outputs: z.strictObject({ beta: z.tuple([z.number(), z.number()]) }),
  run({ mean, sd }) {
    if (sd * sd >= mean * (1 - mean))
      throw new Refusal(
        `A chance of mean ${mean} cannot have the deviation ${sd}: less than ${Math.sqrt(mean * (1 - mean))} is needed.`,
      );
    return { beta: betaFrom(mean, sd) };
  },
});

const sparesKernel = kernel({
  name: 'jam.spares',
  what: 'Fewest spares that are enough for so many prints, or so many kilograms, with a wanted chance',
  inputs: z.strictObject({
    prints: z.int().min(0).max(100000).optional(),
    beta: z.tuple([positive, positive]).optional(),
    prints_seen: z.int().min(0).optional(),
    lost: z.int().min(0).optional(),
    kg: notNegative.optional(),
    gamma: z.tuple([positive, positive]).optional(),
    kg_seen: notNegative.optional(),
    want: z.number().gt(0).lt(1).optional(),
    kgToRetire: positive.optional(),
    kgOnNozzle: notNegative.optional(),
    kgPlanned: notNegative.optional(),
  }),
  outputs: z.strictObject({
    spares: z.number(),
    expected: z.number(),
    enough: z.number(),
    worn: z.number(),
    total: z.number(),
  }),
  run({ prints, kg, want = sparesMedians.want, lost = 0, ...given }) {
    if ((prints === undefined) === (kg === undefined)) throw new Refusal('Say either prints or kg.');
    const worn =
      given.kgToRetire === undefined
        ? 0
        : wornNozzles(given.kgOnNozzle ?? 0, given.kgPlanned ?? kg ?? 0, given.kgToRetire);
    let found: ReturnType<typeof sparesForKg>;
    if (prints !== undefined) {
      const [a, b] = given.beta ?? partLostMedian;
      const seen = given.prints_seen ?? 0;
      if (lost > seen)
        throw new Refusal(`${lost} parts were lost in ${seen} prints: a print costs one at most.`);
      found = sparesForPrints(prints, a + lost, b + seen - lost, want);
    } else {
      const [shape, perKg] = given.gamma ?? sparesMedians.lostKg;
      found = sparesForKg(kg ?? 0, shape + lost, perKg + (given.kg_seen ?? 0), want);
    }
    return { ...found, worn, total: found.spares + worn };
  },
});

export const kernels: readonly Kernel[] = [
  whyKernel,
  tellApartKernel,
  partLostKernel,
  betaKernel,
  sparesKernel,
];
