import { strToU8 } from 'fflate';
import { z } from 'zod';
import { type Host, type Kernel, kernel, Refusal } from '../kernel.ts';
import { compare } from './against.ts';
import { type ArcGeometry, arcByCentre, arcByRadius } from './arc.ts';
import { bead, laidHeat } from './bead.ts';
import { type GcodeCard, gcodeCard } from './card.ts';
import { openGcode } from './container.ts';
import { checksum } from './line.ts';
import { cornerSpeedSquared, moveTime, pathTime } from './motion.ts';
import { type GcodePrint, laidEnding, readGcode, readGcodeBytes } from './print.ts';
import { BED, CHAMBER, FAN, NOZZLE } from './program.ts';

const number = z.number();
const positive = z.number().positive();
const notNegative = z.number().nonnegative();
const count = z.number().int().nonnegative();
const pair = z.tuple([number, number]);
const triple = z.tuple([number, number, number]);
const file = { file: z.string(), member: z.string().optional(), card: gcodeCard };
const level = z.enum(['stop', 'note']);
const endWord = z.enum(['unknown', 'unloaded', 'waits', 'held', 'cold']);
const lie = z.enum(['flat', 'edge', 'upright']);

type Asked = {
  file?: string | undefined;
  text?: string | undefined;
  member?: string | undefined;
  card: GcodeCard;
};

function read(asked: Asked, host: Host, parts: boolean): GcodePrint {
  if (asked.file !== undefined)
    return readGcode(host.open(asked.file), asked.card, {
      parts,
      ...(asked.member === undefined ? {} : { member: asked.member }),
      ...(host.progress ? { progress: host.progress } : {}),
    });
  if (asked.text !== undefined) return readGcodeBytes(strToU8(asked.text), asked.card, 'text', { parts });
  throw new Refusal('There is nothing to read: give a file, or the G-code as text.');
}

const move = kernel({
  name: 'gcode.moveTime',
  what: 'Time and highest speed of one straight move between two speeds',
  inputs: z.strictObject({
    lengthMm: positive,
    speedMmS: positive,
    accelMmS2: positive,
    entryMmS: notNegative,
    exitMmS: notNegative,
  }),
  outputs: z.strictObject({ timeS: number, peakMmS: number }),
  run({ lengthMm, speedMmS, accelMmS2, entryMmS, exitMmS }) {
    if (entryMmS > speedMmS || exitMmS > speedMmS)
      throw new Refusal(
        `Entry ${entryMmS} and exit ${exitMmS} mm/s must not pass the speed of ${speedMmS} mm/s.`,
      );
    if (Math.abs(entryMmS ** 2 - exitMmS ** 2) > 2 * accelMmS2 * lengthMm * (1 + 1e-9))
      throw new Refusal(
        `From ${entryMmS} to ${exitMmS} mm/s takes more than ${lengthMm} mm at ${accelMmS2} mm/s2: take a longer way or a smaller step.`,
      );
    const { time, peak } = moveTime(lengthMm, speedMmS, accelMmS2, entryMmS, exitMmS);
    return { timeS: time, peakMmS: peak };
  },
});

const corner = kernel({
  name: 'gcode.cornerSpeed',
  what: 'Speed through a corner that may be missed by a small distance; null where the path goes straight on',
  inputs: z.strictObject({ accelMmS2: positive, deltaMm: positive, turnDeg: number.min(0).max(180) }),
  outputs: z.strictObject({ speedMmS: number.nullable() }),
  run({ accelMmS2, deltaMm, turnDeg }) {
    const squared = cornerSpeedSquared(accelMmS2, deltaMm, Math.cos((turnDeg * Math.PI) / 180));
    return { speedMmS: Number.isFinite(squared) ? Math.sqrt(squared) : null };
  },
});

const path = kernel({
  name: 'gcode.pathTime',
  what: 'Time along a polyline from rest to rest, with corner speeds and look-ahead',
  inputs: z.strictObject({
    pointsMm: z.array(z.array(number).min(2).max(3)).min(2),
    speedMmS: positive,
    accelMmS2: positive,
    deltaMm: positive,
  }),
  outputs: z.strictObject({ timeS: number }),
  run: ({ pointsMm, speedMmS, accelMmS2, deltaMm }) => ({
    timeS: pathTime(pointsMm, speedMmS, accelMmS2, deltaMm),
  }),
});

const arc = kernel({
  name: 'gcode.arc',
  what: 'Length, signed sweep, centre and radius of an arc by its centre or its radius',
  inputs: z.strictObject({
    startMm: triple,
    endMm: triple,
    ijMm: pair.nullish(),
    rMm: number.nullish(),
    clockwise: z.boolean(),
  }),
  outputs: z.strictObject({ lengthMm: number, sweepDeg: number, centreMm: pair, radiusMm: number }),
  run({ startMm: a, endMm: b, ijMm, rMm, clockwise }) {
    const into: ArcGeometry = { cx: 0, cy: 0, radius: 0, sweep: 0 };
    const wrong = ijMm
      ? arcByCentre(into, a[0], a[1], b[0], b[1], ijMm[0], ijMm[1], clockwise)
      : typeof rMm === 'number'
        ? arcByRadius(into, a[0], a[1], b[0], b[1], rMm, clockwise)
        : 'arc-centre';
    if (wrong === 'arc-centre')
      throw new Refusal('The arc has no centre: give ijMm, or rMm with two different ends.');
    if (wrong)
      throw new Refusal(
        'The ends do not lie on one circle of that radius: check the ends against the centre.',
      );
    return {
      lengthMm: Math.hypot(into.radius * into.sweep, b[2] - a[2]),
      sweepDeg: (into.sweep * 180) / Math.PI,
      centreMm: [into.cx, into.cy],
      radiusMm: into.radius,
    };
  },
});

const beadKernel = kernel({
  name: 'gcode.bead',
  what: 'Volume, section and width of a laid bead: a flat strip with half-round sides',
  inputs: z.strictObject({ filamentMm: positive, extrudedMm: positive, pathMm: positive, layerMm: positive }),
  outputs: z.strictObject({ volumeMm3: number, sectionMm2: number, widthMm: number }),
  run({ filamentMm, extrudedMm, pathMm, layerMm }) {
    const volumeMm3 = extrudedMm * (Math.PI / 4) * filamentMm ** 2;
    const { section, width } = bead(volumeMm3, pathMm, layerMm);
    return { volumeMm3, sectionMm2: section, widthMm: width };
  },
});

const heat = kernel({
  name: 'gcode.heat',
  what: 'Heat that laid polymer brings with it above a reference temperature',
  inputs: z.strictObject({
    volumeMm3: notNegative,
    rhoKgM3: positive,
    cJKgK: positive,
    meltJKg: notNegative,
    fromC: number,
    toC: number,
  }),
  outputs: z.strictObject({ heatJ: number }),
  run: ({ volumeMm3, ...melt }) => ({ heatJ: laidHeat(volumeMm3, melt) }),
});

const sum = kernel({
  name: 'gcode.checksum',
  what: 'Exclusive or of the bytes of a line before its star',
  inputs: z.strictObject({ text: z.string() }),
  outputs: z.strictObject({ sum: count }),
  run({ text }) {
    const bytes = strToU8(text);
    const star = bytes.indexOf(42);
    return { sum: checksum(bytes, 0, star < 0 ? bytes.length : star) };
  },
});

const open = kernel({
  name: 'gcode.open',
  what: 'What a file is: plain G-code or a zip, its members, and which is read',
  inputs: z.strictObject({ file: z.string(), member: z.string().optional() }),
  outputs: z.strictObject({
    container: z.enum(['plain', 'zip']),
    members: z.array(z.string()),
    chosen: z.string().nullable(),
    ask: z.boolean(),
  }),
  run({ file: name, member }, host) {
    const opened = openGcode(host.open(name), member);
    return { ...opened, members: [...opened.members] };
  },
});

const readKernel = kernel({
  name: 'gcode.read',
  what: 'What a print asks of the kit: ways, strand, time, flow, retractions, faults',
  inputs: z.strictObject({ ...file, file: z.string().optional(), text: z.string().optional() }),
  outputs: z.strictObject({
    printPathMm: number,
    travelPathMm: number,
    laidMm: number,
    laidMm3: number,
    netEMm: number,
    retractions: count,
    timeS: number,
    dwellS: number,
    warmS: number,
    flowMeanMm3S: number,
    flowP95Mm3S: number,
    flowMaxMm3S: number,
    retractMm: number,
    retractMaxMmS: number,
    handsS: z.array(number),
    faults: z.array(z.tuple([count, z.string(), level])),
    faultCounts: z.array(z.strictObject({ code: z.string(), level, count })),
    usable: z.boolean(),
    unknown: count,
    macros: count,
    unseenS: number,
    tool: count.nullable(),
  }),
  run(asked, host) {
    const print = read(asked, host, false);
    return {
      ...print.totals,
      handsS: [...print.totals.handsS],
      flowMeanMm3S: print.flow.meanMm3S,
      flowP95Mm3S: print.flow.p95Mm3S,
      flowMaxMm3S: print.flow.maxMm3S,
      faults: print.faults.map((fault): [number, string, 'stop' | 'note'] => [
        fault.line,
        fault.code,
        fault.level,
      ]),
      faultCounts: [...print.faultCounts],
      usable: print.usable,
    };
  },
});

const ending = kernel({
  name: 'gcode.ending',
  what: 'What the file does after its last laid material, and how long the strand can still be drawn out',
  inputs: z.strictObject(file),
  outputs: z.strictObject({
    end: endWord,
    lastS: number,
    tailS: number,
    nozzleHeldS: number.nullable(),
    nozzleToC: number.nullable(),
    bedHeldS: number.nullable(),
    bedToC: number.nullable(),
    chamberHeldS: number.nullable(),
    chamberToC: number.nullable(),
    drawnBackMm: number,
    drawnBackMmS: number,
    drawnBackS: number.nullable(),
    parkMm: triple,
    liftMm: number,
    homed: z.array(z.enum(['X', 'Y', 'Z'])),
    fan: number,
    handsS: z.array(number),
    macros: count,
    unloadWindowS: number.nullable(),
  }),
  run(asked, host) {
    const found = laidEnding(read(asked, host, false));
    return { ...found, parkMm: [...found.parkMm], homed: [...found.homed], handsS: [...found.handsS] };
  },
});

const against = kernel({
  name: 'gcode.against',
  what: 'Ten lines of a file compared with what a plate of a campaign says',
  inputs: z.strictObject({
    ...file,
    plan: z.strictObject({
      bars: z
        .array(
          z.strictObject({
            lengthMm: positive,
            widthMm: positive,
            thickMm: positive,
            orientation: lie,
            atMm: pair.optional(),
          }),
        )
        .optional(),
      nozzleC: number.optional(),
      bedC: number.optional(),
      fan: z.strictObject({ least: notNegative, most: notNegative }).optional(),
      retract: z
        .strictObject({ lengthMm: notNegative, speedMmS: positive, count: count.optional() })
        .optional(),
      layerMm: positive.optional(),
      timeS: positive.optional(),
      leftG: notNegative.optional(),
      densityKgM3: positive.optional(),
      purgeG: notNegative.optional(),
      ending: z.strictObject({ end: endWord, heldS: notNegative.optional() }).optional(),
    }),
  }),
  outputs: z.strictObject({
    answers: z.array(z.enum(['same', 'different', 'not in file', 'not in plan'])),
    different: count,
    bars: count,
    centresMm: z.array(pair),
    orientations: z.array(lie.nullable()),
    nozzleC: number.nullable(),
    bedC: number.nullable(),
    fanLow: number,
    fanHigh: number,
    retractMm: number.nullable(),
    retractMmS: number.nullable(),
    retractCount: count,
    layerMm: number.nullable(),
    timeS: number,
    neededG: number.nullable(),
    ending: endWord.nullable(),
  }),
  run(asked, host) {
    const print = read(asked, host, true);
    const stop = print.faults.find((fault) => fault.level === 'stop');
    if (stop)
      throw new Refusal(
        `${print.name} is not compared while ${stop.line > 0 ? `line ${stop.line}` : 'it'} has a fault (${stop.code}): read the file and mend it first.`,
      );
    const { answers, different, said, orientations, neededG } = compare(print, asked.plan);
    return {
      answers: [...answers],
      different,
      bars: said.bars.length,
      centresMm: said.bars.map(({ boxMm: b }): [number, number] => [(b[0] + b[2]) / 2, (b[1] + b[3]) / 2]),
      orientations: [...orientations],
      nozzleC: said.nozzleC,
      bedC: said.bedC,
      fanLow: said.fanLow,
      fanHigh: said.fanHigh,
      retractMm: said.retractMm,
      retractMmS: said.retractMmS,
      retractCount: said.retractCount,
      layerMm: said.layerMm,
      timeS: said.timeS,
      neededG,
      ending: said.end,
    };
  },
});

const parts = kernel({
  name: 'gcode.parts',
  what: 'Parts on the sheet: area, box, volume, height and how solid they are',
  inputs: z.strictObject(file),
  outputs: z.strictObject({
    count,
    contacts: count,
    areaMm2: z.array(number),
    boxMm: z.array(z.tuple([number, number, number, number])),
    volumeMm3: z.array(number),
    heightMm: z.array(number),
    solid: z.array(number),
    kind: z.array(z.enum(['bar', 'support', 'low', 'open'])),
    unattachedMm3: number,
  }),
  run(asked, host) {
    const print = read(asked, host, true);
    if (!print.parts) throw new Refusal(`${print.name} lays no lines: there are no parts to find.`);
    const found = print.parts.parts;
    return {
      count: found.length,
      contacts: print.parts.contacts,
      areaMm2: found.map((part) => part.areaMm2),
      boxMm: found.map((part): [number, number, number, number] => [...part.boxMm]),
      volumeMm3: found.map((part) => part.volumeMm3),
      heightMm: found.map((part) => part.heightMm),
      solid: found.map((part) => part.solid),
      kind: found.map((part) => part.kind),
      unattachedMm3: print.parts.unattachedMm3,
    };
  },
});

/** Passes that the kernel lists; the count tells of the others. */
const PASSES_LISTED = 8;

const passes = kernel({
  name: 'gcode.passes',
  what: 'Passes: runs of printing at one height, the first eight',
  inputs: z.strictObject(file),
  outputs: z.strictObject({
    count,
    zMm: z.array(number),
    heightMm: z.array(number),
    timeS: z.array(number),
    volumeMm3: z.array(number),
  }),
  run(asked, host) {
    const found = read(asked, host, false).passes;
    const first = (column: Float64Array) => Array.from(column.subarray(0, PASSES_LISTED));
    return {
      count: found.count,
      zMm: first(found.zMm),
      heightMm: first(found.heightMm),
      timeS: first(found.timeS),
      volumeMm3: first(found.volumeMm3),
    };
  },
});

const targets = new Map([
  [NOZZLE, 'nozzle'],
  [BED, 'bed'],
  [CHAMBER, 'chamber'],
  [FAN, 'fan'],
] as const);

const timeline = kernel({
  name: 'gcode.timeline',
  what: 'Targets of nozzle, bed and chamber and the part fan over the clock of the file',
  inputs: z.strictObject(file),
  outputs: z.strictObject({
    timeS: z.array(number),
    what: z.array(z.enum(['nozzle', 'bed', 'chamber', 'fan'])),
    to: z.array(number),
  }),
  run(asked, host) {
    const { program } = read(asked, host, false);
    const timeS: number[] = [];
    const what: ('nozzle' | 'bed' | 'chamber' | 'fan')[] = [];
    const to: number[] = [];
    for (let k = 0; k < program.count; k++) {
      const name = targets.get(program.what[k] as typeof NOZZLE);
      if (!name) continue;
      timeS.push(program.t[k]!);
      what.push(name);
      to.push(program.value[k]!);
    }
    return { timeS, what, to };
  },
});

export const kernels: Kernel[] = [
  move,
  corner,
  path,
  arc,
  beadKernel,
  heat,
  sum,
  open,
  readKernel,
  ending,
  against,
  parts,
  passes,
  timeline,
];
