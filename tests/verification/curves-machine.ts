import { uniformStream } from '../../src/engine/numerics/random.ts';

/**
 * A tensile machine that pulls invented bars whose law is known, and writes what it would record. Lengths in mm, forces
 * in N, stresses in MPa. The bar of type 1B between grips: the broad parts stay elastic, so that its travel is
 * d = Leq s/E + l1 (e - s/E) + C F.
 */

export type Law = 'straight' | 'saturating' | 'power' | 'yielding';

export type BarPlan = {
  law: Law;
  modulus: number;
  /** Stress at the break [MPa], and strain of the plastic part there. */
  strength: number;
  plastic: number;
  width: number;
  thickness: number;
  compliance: number;
  /** Readings up to the break. */
  readings: number;
  forceNoise: number;
  extensionNoise: number;
  slips: { at: number; fall: number }[];
  toeStrain: number;
  slack: number;
  /** Strain at which the extensometer is taken off, and how it shows. */
  off: { strain: number; shows: 'blank' | 'frozen' | 'dropped' } | null;
};

export type Record1B = {
  plan: BarPlan;
  time: number[];
  force: number[];
  grip: number[];
  extension: (number | null)[];
  /** Of the noise-free curve: strain from the zero of the bar. */
  truth: {
    strength: number;
    strainAtBreak: number;
    modulus: number;
    slipTravel: number;
    travelAtBreak: number;
  };
};

export const GAUGE = 50;
export const GRIPS = 115;
/** Of the bar 1B between grips 115 mm apart, from the closed form of its outline. */
export const EQUIVALENT = 101.33381529986727;
const NARROW = 60;

/** Share of the strength over which a curled bar is pulled straight, to 1/e. */
const STRAIGHTENED = 0.025;

/** Strain of the bar at a stress, first rise. */
function strainOf(plan: BarPlan, stress: number): number {
  const elastic = stress / plan.modulus;
  const share = stress / plan.strength;
  if (plan.law === 'straight') return elastic;
  if (plan.law === 'power') return elastic + plan.plastic * share ** 7;
  // s = S (1 - exp(-E e/S)) with S above the strength so that the bar breaks before it is reached.
  const level = plan.strength * (1 + 0.02 / plan.plastic / 10);
  return (-level / plan.modulus) * Math.log(1 - stress / level);
}

/** One record; `key` seeds the noise. */
export function pull(plan: BarPlan, key: number): Record1B {
  const uniform = uniformStream(key);
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  const section = plan.width * plan.thickness;
  const travelOf = (stress: number) => {
    const strain = strainOf(plan, stress);
    const elastic = stress / plan.modulus;
    return EQUIVALENT * elastic + NARROW * (strain - elastic) + plan.compliance * stress * section;
  };
  // The noise-free way: (travel, stress, strain) from zero to the break, then past a yield where the law has one.
  const way: [number, number, number][] = [];
  const STEPS = 4000;
  for (let k = 0; k <= STEPS; k++) {
    const stress = (plan.strength * k) / STEPS;
    const strain = strainOf(plan, stress);
    // Curled: a small stress pulls the bar straight, and its strain reads on meanwhile.
    const toe = plan.toeStrain * (1 - Math.exp(-k / STEPS / STRAIGHTENED));
    way.push([travelOf(stress) + plan.slack + toe * GRIPS, stress, strain + toe]);
  }
  if (plan.law === 'yielding') {
    const [travel, stress, strain] = way.at(-1)!;
    for (let k = 1; k <= 800; k++) {
      const more = (0.02 * k) / 800;
      way.push([travel + more * NARROW, stress * (1 - 0.15 * (k / 800) ** 2), strain + more]);
    }
  }
  // Slips: the force falls, the bar and the machine spring back, and load again along the same line.
  let slipTravel = 0;
  for (const { at, fall } of plan.slips) {
    const index = way.findIndex(([, stress]) => stress >= at * plan.strength);
    const [travel, stress, strain] = way[index]!;
    const soft = (EQUIVALENT / plan.modulus + plan.compliance * section) * fall * stress;
    const quick = 0.004;
    const loop: [number, number, number][] = [
      [travel + quick, stress * (1 - fall), strain - (fall * stress) / plan.modulus],
      [travel + quick + soft, stress, strain],
    ];
    for (let k = index + 1; k < way.length; k++) way[k]![0] += quick + soft;
    way.splice(index + 1, 0, ...loop);
    slipTravel += quick + soft;
  }
  const [end, stressEnd, strainEnd] = way.at(-1)!;
  const record: Record1B = {
    plan,
    time: [],
    force: [],
    grip: [],
    extension: [],
    truth: {
      strength: plan.strength,
      strainAtBreak: strainEnd - plan.toeStrain,
      modulus: plan.modulus,
      slipTravel,
      travelAtBreak: end - plan.slack,
    },
  };
  const rate = 1 / 60;
  let last = 0;
  const add = (travel: number, stress: number, strain: number) => {
    const extension = strain * GAUGE + plan.extensionNoise * normal();
    const off = plan.off !== null && (last === -1 || strain - plan.toeStrain > plan.off.strain);
    if (off) last = -1;
    record.time.push(travel / rate);
    record.force.push(stress * section + plan.forceNoise * normal());
    record.grip.push(travel + 0.0003 * normal());
    if (!off) record.extension.push(extension);
    else if (plan.off!.shows === 'blank') record.extension.push(null);
    else if (plan.off!.shows === 'frozen')
      record.extension.push(Math.round(plan.off!.strain * GAUGE * 1e4) / 1e4);
    else record.extension.push(0.002 + plan.extensionNoise * normal());
  };
  let place = 0;
  for (let k = 0; k < plan.readings; k++) {
    const travel = (end * k) / (plan.readings - 1);
    while (place < way.length - 2 && way[place + 1]![0] < travel) place++;
    const [d0, s0, e0] = way[place]!;
    const [d1, s1, e1] = way[place + 1]!;
    const share = d1 > d0 ? Math.min(1, Math.max(0, (travel - d0) / (d1 - d0))) : 1;
    const slack = travel < plan.slack;
    add(travel, slack ? 0 : s0 + share * (s1 - s0), slack ? 0 : e0 + share * (e1 - e0));
  }
  const step = end / (plan.readings - 1);
  [0.08, -0.01, 0, 0, 0, 0].forEach((share, k) => {
    add(end + (k + 1) * step, share * stressEnd, 0.3 * strainEnd);
  });
  return record;
}

const LAWS: readonly Law[] = ['straight', 'saturating', 'power', 'yielding'];

/** A plan with nothing wrong about it, drawn from a seed; every fourth yields. */
export function cleanPlan(seed: number): BarPlan {
  const uniform = uniformStream(seed * 7919 + 17);
  const between = (low: number, high: number) => low + (high - low) * uniform();
  const modulus = between(2500, 12000);
  return {
    law: LAWS[seed % LAWS.length]!,
    modulus,
    strength: modulus * between(0.008, 0.013),
    plastic: between(0.003, 0.012),
    width: between(9.9, 10.1),
    thickness: between(3.9, 4.1),
    compliance: between(2e-5, 6e-5),
    readings: Math.round(10 ** between(2.2, 3.6)),
    forceNoise: between(0.3, 1.5),
    extensionNoise: between(0.0001, 0.0003),
    slips: [],
    toeStrain: 0,
    slack: 0,
    off: null,
  };
}

/** How an export is written. */
export type Style = {
  delimiter: string;
  decimal: '.' | ',';
  kilo: boolean;
  strain: 'mm' | '%' | 'mm/mm' | 'none';
  grip: boolean;
};

export const STYLES: readonly Style[] = [
  { delimiter: ';', decimal: ',', kilo: false, strain: 'mm', grip: true },
  { delimiter: ',', decimal: '.', kilo: true, strain: '%', grip: true },
  { delimiter: '\t', decimal: '.', kilo: false, strain: 'mm/mm', grip: false },
  { delimiter: '\t', decimal: ',', kilo: false, strain: '%', grip: true },
  { delimiter: '|', decimal: '.', kilo: true, strain: 'mm', grip: true },
  { delimiter: '  ', decimal: '.', kilo: false, strain: 'mm', grip: true },
];

/** The export of one record as text. */
export function exported(record: Record1B, style: Style): string {
  const write = (value: number, digits: number) => value.toFixed(digits).replace('.', style.decimal);
  const heads = ['Time (s)', style.kilo ? 'Force (kN)' : 'Force (N)'];
  if (style.grip) heads.push('Crosshead (mm)');
  if (style.strain !== 'none')
    heads.push(style.strain === 'mm' ? 'Extension (mm)' : `Strain (${style.strain})`);
  const lines = [heads.join(style.delimiter)];
  for (let k = 0; k < record.time.length; k++) {
    const fields = [write(record.time[k]!, 3)];
    fields.push(style.kilo ? write(record.force[k]! / 1000, 5) : write(record.force[k]!, 1));
    if (style.grip) fields.push(write(record.grip[k]!, 3));
    const extension = record.extension[k] ?? null;
    if (style.strain !== 'none')
      fields.push(
        extension === null
          ? ''
          : style.strain === 'mm'
            ? write(extension, 4)
            : style.strain === '%'
              ? write((100 * extension) / GAUGE, 4)
              : write(extension / GAUGE, 6),
      );
    lines.push(fields.join(style.delimiter));
  }
  return `${lines.join('\n')}\n`;
}
