import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { type ColdPlug, meltLine, plugForce, plugLength, stopChance, topToFree } from './cold-plug.ts';
import { type DampLaw, gripFactor, hardChance, popsChance, steamOverMelt, thinChance } from './damp.ts';
import {
  bridge,
  type ClogLaw,
  clogHazard,
  clogsPerKg,
  crowding,
  type Fibres,
  fibreVolumeShare,
  holds,
  strandDensity,
} from './fibre.ts';
import {
  dampMedians,
  FIBRE_DENSITY,
  fibreMedians,
  MELT_DENSITY,
  POLYMER_DENSITY,
  plugBreak,
  plugMedians,
  plugYield,
  restMedians,
  SINK_CONDUCTANCE,
  soakMedians,
  wearMedians,
} from './kernel-defaults.ts';
import { allowedRest, decompositionRate, type RestLaw, restChance, restDose, restFor } from './rest.ts';
import { sinkPeak } from './soak.ts';
import { boreAfter, kgToRetire, pressureRatio, slidPerKg } from './wear.ts';

const HOUR = 3600;
const positive = z.number().positive();
const notNegative = z.number().min(0);
const share = z.number().min(0).max(1);
/** Fibres alone are no strand; more than this nobody feeds. */
const fibreWt = z.number().min(0).max(0.6);
const celsius = z.number().gt(-ZERO_CELSIUS);

type FibreCards = Record<keyof typeof fibreMedians, number>;
const fibreCards = z.strictObject(
  Object.fromEntries(Object.keys(fibreMedians).map((key) => [key, positive.optional()])) as {
    [key in keyof typeof fibreMedians]: z.ZodOptional<typeof positive>;
  },
);

function fibresOf(cards: FibreCards, wt: number, lengthUm: number): Fibres {
  return {
    share: wt,
    fibreDensity: FIBRE_DENSITY,
    polymerDensity: POLYMER_DENSITY,
    length: lengthUm * 1e-6,
    lengthShape: cards.length_shape,
    diameter: cards.fibre_um * 1e-6,
  };
}

const fibreKernel = kernel({
  name: 'jam.fibre',
  what: 'Chance that fibres bridge the hole of a nozzle while some strand goes through it',
  inputs: z.strictObject({
    diameterMm: positive.max(5),
    fibreWt,
    kgBefore: notNegative.optional(),
    kgAfter: notNegative.optional(),
    hours: notNegative.optional(),
    flowMm3S: notNegative.optional(),
    lengthUm: positive.optional(),
    cards: fibreCards.optional(),
  }),
  outputs: z.strictObject({
    fibreVolumeShare: z.number(),
    crowding: z.number(),
    bridgeMm: z.number(),
    perKg: z.number(),
    kg: z.number(),
    chance: z.number(),
    chanceStops: z.number(),
  }),
  run({ diameterMm, fibreWt: wt, kgBefore = 0, kgAfter, hours, flowMm3S, lengthUm, cards: changed }) {
    const cards: FibreCards = { ...fibreMedians };
    for (const [key, value] of Object.entries(changed ?? {}))
      if (value !== undefined) cards[key as keyof FibreCards] = value;
    const law: ClogLaw = {
      perKg: cards.h_ref_per_kg,
      reference: fibresOf(cards, cards.wt_ref, cards.length_um),
      bore: cards.D_ref_mm * 1e-3,
      clump: cards.k_b,
      widthExponent: cards.p,
      crowdingExponent: cards.m,
      doublesAfter: cards.acc_kg,
      hard: cards.hard,
      perKgMost: cards.cap_per_kg,
    };
    const fibres = fibresOf(cards, wt, lengthUm ?? cards.length_um);
    const bore = diameterMm * 1e-3;
    if (wt > 0 && !holds(law, bore))
      throw new Refusal(
        `A hole of ${diameterMm} mm is too narrow for fibres: use ${cards.D_ref_mm} mm or more; no chance is given below that.`,
      );
    if (kgAfter === undefined && (hours === undefined || flowMm3S === undefined))
      throw new Refusal('Say kgAfter, or hours and flowMm3S.');
    const after = kgAfter ?? kgBefore + (hours ?? 0) * HOUR * (flowMm3S ?? 0) * 1e-9 * strandDensity(fibres);
    if (after < kgBefore) throw new Refusal(`kgAfter ${after} is less than kgBefore ${kgBefore}.`);
    const perKg = clogsPerKg(law, fibres, bore);
    const hazard = clogHazard(law, perKg, kgBefore, after);
    return {
      fibreVolumeShare: fibreVolumeShare(fibres),
      crowding: crowding(fibres),
      bridgeMm: bridge(fibres, law.clump) * 1e3,
      perKg,
      kg: after - kgBefore,
      chance: -Math.expm1(-hazard),
      chanceStops: -Math.expm1(-law.hard * hazard),
    };
  },
});

/** Volume share of fibres over that of the reference strand. */
function overReference(wt: number): number {
  const of = (s: number) => fibreVolumeShare(fibresOf({ ...fibreMedians }, s, fibreMedians.length_um));
  return of(wt) / of(fibreMedians.wt_ref);
}
/** Local exponent of the melt at the wall of a nozzle, PA6 with carbon fibre at 5 mm3/s. */
const EXPONENT = 0.42;

const wearKernel = kernel({
  name: 'jam.wear',
  what: 'Growth of the hole of a nozzle by fibres, and how much strand it lasts',
  inputs: z.strictObject({
    diameterMm: positive.max(5),
    fibreWt,
    nozzle: z.enum(['brass', 'hardened', 'carbide']).optional(),
    mmPerKg: notNegative.optional(),
    kg: notNegative,
    n_l: positive.max(1).optional(),
  }),
  outputs: z.strictObject({
    boreMm: z.number(),
    pressureRatio: z.number(),
    kgToRetire: z.number().nullable(),
  }),
  run({ diameterMm, fibreWt: wt, nozzle, mmPerKg, kg, n_l = EXPONENT }) {
    const perKg = mmPerKg ?? (nozzle === undefined ? undefined : wearMedians[nozzle]);
    if (perKg === undefined) throw new Refusal('Say the nozzle (brass, hardened, carbide) or its mmPerKg.');
    const ratio = overReference(wt);
    const bore = boreAfter(diameterMm, perKg, ratio, kg);
    const lasts = kgToRetire(diameterMm, perKg, ratio, wearMedians.retire);
    return {
      boreMm: bore,
      pressureRatio: pressureRatio(diameterMm, bore, n_l),
      kgToRetire: Number.isFinite(lasts) ? lasts : null,
    };
  },
});

const slidingKernel = kernel({
  name: 'jam.wearFromSliding',
  what: 'Growth of the hole from wear measured per way slid, both sides',
  inputs: z.strictObject({ diameterMm: positive.max(5), fibreWt, mmPerCm: notNegative }),
  outputs: z.strictObject({ slidCmPerKg: z.number(), mmPerKg: z.number() }),
  run({ diameterMm, fibreWt: wt, mmPerCm }) {
    const density = strandDensity(fibresOf({ ...fibreMedians }, wt, fibreMedians.length_um));
    const slid = slidPerKg(diameterMm * 1e-3, density) * 100;
    return { slidCmPerKg: slid, mmPerKg: 2 * slid * mmPerCm };
  },
});

const plugKernel = kernel({
  name: 'jam.coldPlug',
  what: 'What a hot end that was left full and cooled holds back when it is hot again',
  inputs: z.strictObject({
    nozzleC: celsius,
    breakTopC: celsius,
    breakMm: positive.optional(),
    frontMm: notNegative,
    drawnBackMm: notNegative.optional(),
    share: share.optional(),
    boreMm: positive.optional(),
    pushN: positive,
  }),
  outputs: z.strictObject({
    meltLineMm: z.number(),
    plugMm: z.number(),
    holdN: z.number(),
    margin: z.number().nullable(),
    chanceStops: z.number(),
    topToFreeC: z.number().nullable(),
  }),
  run({ nozzleC, breakTopC, frontMm, pushN, ...given }) {
    if (nozzleC <= breakTopC)
      throw new Refusal(`The nozzle, ${nozzleC} C, is not hotter than the top of the break, ${breakTopC} C.`);
    const plug: ColdPlug = {
      nozzle: nozzleC + ZERO_CELSIUS,
      breakTop: breakTopC + ZERO_CELSIUS,
      breakLength: (given.breakMm ?? plugBreak.breakMm) * 1e-3,
      bore: (given.boreMm ?? plugBreak.boreMm) * 1e-3,
      meltsAt: plugMedians.Tm + ZERO_CELSIUS,
      front: frontMm * 1e-3,
      drawnBack: (given.drawnBackMm ?? 0) * 1e-3,
      share: given.share ?? 1,
      bond: plugMedians.tau_b_MPa * 1e6,
      weakBond: plugMedians.chi,
      yieldStress: plugYield,
    };
    const force = plugForce(plug);
    const touches = plug.front + plug.drawnBack > 0;
    return {
      meltLineMm: meltLine(plug) * 1e3,
      plugMm: plugLength(plug) * 1e3,
      holdN: force,
      margin: force > 0 ? pushN / force : null,
      chanceStops: stopChance(pushN, force, plugMedians.s),
      topToFreeC: touches ? topToFree(plug) - ZERO_CELSIUS : null,
    };
  },
});

/** Draught on a sink whose fan stands still, and exponent of forced convection. */
const FAN_LEAST = 0.08;
const FAN_EXPONENT = 0.6;

const soakKernel = kernel({
  name: 'jam.soak',
  what: 'Hottest moment of the sink after the heater is switched off with the strand in',
  inputs: z.strictObject({
    nozzleC: celsius,
    sinkC: celsius,
    airC: celsius,
    sinkFan: z.number().min(0).max(1.5),
  }),
  outputs: z.strictObject({ peakSinkC: z.number(), atS: z.number() }),
  run({ nozzleC, sinkC, airC, sinkFan }) {
    const { peak, at } = sinkPeak({
      block: nozzleC + ZERO_CELSIUS,
      sink: sinkC + ZERO_CELSIUS,
      air: airC + ZERO_CELSIUS,
      blockCapacity: soakMedians.C_block,
      sinkCapacity: soakMedians.C_sink,
      blockToAir: soakMedians.G_block,
      blockToSink: 1 / plugBreak.resistance,
      sinkToAir: SINK_CONDUCTANCE * Math.max(FAN_LEAST, sinkFan) ** FAN_EXPONENT,
    });
    return { peakSinkC: peak - ZERO_CELSIUS, atS: at };
  },
});

const restLaw: RestLaw = {
  allowed: restMedians.t05_270_h * HOUR,
  at: 270 + ZERO_CELSIUS,
  energy: restMedians.Ea,
  shape: restMedians.shape,
};

const restKernel = kernel({
  name: 'jam.restHot',
  what: 'Chance that a hot end kept hot without flow gives trouble at the restart',
  inputs: z.strictObject({ held: z.array(z.tuple([celsius, notNegative])).min(1) }),
  outputs: z.strictObject({ allowedH: z.number(), dose: z.number(), chance: z.number() }),
  run({ held }) {
    const rests = held.map(([C, h]) => ({ temperature: C + ZERO_CELSIUS, time: h * HOUR }));
    const dose = restDose(restLaw, rests);
    return {
      allowedH: allowedRest(restLaw, rests[0]!.temperature) / HOUR,
      dose,
      chance: restChance(restLaw, dose),
    };
  },
});

const equalKernel = kernel({
  name: 'jam.restEqualsFull',
  what: 'Hours at a temperature that risk as much as cooling full',
  inputs: z.strictObject({ nozzleC: celsius, chanceFull: z.number().min(0).lt(1) }),
  outputs: z.strictObject({ hours: z.number() }),
  run: ({ nozzleC, chanceFull }) => ({ hours: restFor(restLaw, nozzleC + ZERO_CELSIUS, chanceFull) / HOUR }),
});

const decomposeKernel = kernel({
  name: 'jam.decompose',
  what: 'Share of a polymer that decomposes per hour, first order, from the peak of its rate when heated evenly',
  inputs: z.strictObject({ Ea: positive, peakC: celsius, KperMin: positive, atC: celsius }),
  outputs: z.strictObject({ perHour: z.number() }),
  run: ({ Ea, peakC, KperMin, atC }) => ({
    perHour: decompositionRate(Ea, peakC + ZERO_CELSIUS, KperMin / 60, atC + ZERO_CELSIUS) * HOUR,
  }),
});

const dampLaw: DampLaw = {
  popsAt: dampMedians.F_pops,
  popsScatter: dampMedians.s_pops,
  thinAt: dampMedians.F_thin,
  thinScatter: dampMedians.s_thin,
  hardRate: dampMedians.hard_h / HOUR,
  yieldLost: dampMedians.soft,
  gripExponent: 0.7,
};
/** Melt temperature at which steam is compared with melt [K]. */
const STEAM_AT = 270 + ZERO_CELSIUS;

const dampKernel = kernel({
  name: 'jam.damp',
  what: 'What damp does in the hot end: pops, weak flow, hard jams, lost grip, steam by volume of melt',
  inputs: z.strictObject({
    foam: notNegative,
    waterWt: z.number().min(0).max(20),
    hours: notNegative.optional(),
    steamWt: z.number().min(0).max(20).optional(),
  }),
  outputs: z.strictObject({
    pops: z.number(),
    thin: z.number(),
    hard: z.number(),
    gripFactor: z.number(),
    steamPerMelt: z.number(),
  }),
  run: ({ foam, waterWt, hours = 0, steamWt = 0 }) => ({
    pops: popsChance(dampLaw, foam),
    thin: thinChance(dampLaw, foam),
    hard: hardChance(dampLaw, foam, hours * HOUR),
    gripFactor: gripFactor(dampLaw, waterWt / 100),
    steamPerMelt: steamOverMelt(steamWt / 100, MELT_DENSITY, STEAM_AT),
  }),
});

export const kernels: readonly Kernel[] = [
  fibreKernel,
  wearKernel,
  slidingKernel,
  plugKernel,
  soakKernel,
  restKernel,
  equalKernel,
  decomposeKernel,
  dampKernel,
];
