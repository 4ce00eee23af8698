import {
  A_PRINT,
  A_RETRACT,
  A_TRAVEL,
  bit,
  FEED_SHARE,
  FLOW_SHARE,
  type Machine,
  SCALE,
  STRAND_PER_E,
} from './machine.ts';
import {
  ACCEL_PRINT,
  ACCEL_RETRACT,
  ACCEL_TRAVEL,
  BED,
  CHAMBER,
  DWELL,
  FAN,
  HANDS,
  HOME,
  NOZZLE,
  PROBE,
  WAIT_EQUAL,
  WAIT_HOT,
} from './program.ts';

/** How the rest of a line is read: `strict` skips a bad line, `lenient` keeps the words before the fault. */
export type Reading = 'strict' | 'lenient' | 'axes' | 'none';

type Command = Readonly<{ reading: Reading; run(machine: Machine, mask: number): void }>;

const wordD = bit('D');
const wordL = bit('L');
const wordP = bit('P');
const wordR = bit('R');
const wordS = bit('S');
const wordT = bit('T');
const at = (letter: string) => letter.charCodeAt(0) - 65;
const atD = at('D');
const atP = at('P');
const atR = at('R');
const atS = at('S');
const atT = at('T');

/** Part fan: 255 is full. */
const FAN_FULL = 255;
const MM_PER_INCH = 25.4;

const nothing: Command = { reading: 'none', run: () => {} };

const move = (mode: number): Command => ({
  reading: 'strict',
  run: (machine, mask) => machine.move(mode, mask),
});

/** A target, and a wait for it where `waits`. Words for another tool concern the nozzle alone. */
function heat(heater: number, waits: boolean): Command {
  return {
    reading: 'strict',
    run(machine, mask) {
      const { words, program, segments } = machine;
      if (heater === NOZZLE && mask & wordT && machine.toolSaid && words[atT] !== machine.tool) {
        machine.note('tool', { tool: words[atT]! });
        return;
      }
      if (!(mask & (wordS | wordR))) {
        machine.note('no-temperature');
        return;
      }
      const equal = !(mask & wordS);
      const target = words[equal ? atR : atS]!;
      program.add(heater, segments.count, target);
      if (heater === NOZZLE && target > 0) machine.nozzleTargetSaid = true;
      if (!waits) return;
      program.add(equal ? WAIT_EQUAL : WAIT_HOT, segments.count, heater);
      machine.stop();
    },
  };
}

/** Waits, homing, hands: a step of the program at which the machine stands. */
function halt(what: number): Command {
  return {
    reading: 'none',
    run(machine) {
      machine.program.add(what, machine.segments.count, 0);
      machine.stop();
    },
  };
}

const dwell: Command = {
  reading: 'lenient',
  run(machine, mask) {
    const { words } = machine;
    const time = mask & wordS ? words[atS]! : mask & wordP ? words[atP]! / 1000 : 0;
    machine.program.add(DWELL, machine.segments.count, Math.max(0, time));
    machine.stop();
  },
};

const drawBack: Command = {
  reading: 'lenient',
  run(machine, mask) {
    if (mask & (wordL | wordP)) {
      machine.note('g10-offsets');
      return;
    }
    if (machine.drawnBackByController) return;
    machine.drawnBackByController = true;
    machine.moveStrand(-machine.card.controllerRetractMm, machine.card.controllerRetractMmS);
  },
};

const giveBack: Command = {
  reading: 'lenient',
  run(machine) {
    if (!machine.drawnBackByController) return;
    machine.drawnBackByController = false;
    machine.moveStrand(machine.card.controllerRetractMm, machine.card.controllerRetractMmS);
  },
};

const fan: Command = {
  reading: 'lenient',
  run(machine, mask) {
    const { words } = machine;
    if (mask & wordP && words[atP] !== 0) return;
    const share = mask & wordS ? Math.min(1, Math.max(0, words[atS]! / FAN_FULL)) : 1;
    machine.program.add(FAN, machine.segments.count, share);
  },
};

const volumetric: Command = {
  reading: 'lenient',
  run(machine, mask) {
    if (!(mask & wordD)) return;
    const diameter = machine.words[atD]!;
    machine.numbers[STRAND_PER_E] = diameter > 0 ? 4 / (Math.PI * diameter ** 2) : 1;
  },
};

const accelerations: Command = {
  reading: 'lenient',
  run(machine, mask) {
    const { words, program, segments, numbers } = machine;
    const set = (what: number, place: number, word: number, index: number) => {
      const value = words[index]!;
      if (!(mask & word) || !(value > 0)) return;
      numbers[place] = value;
      program.add(what, segments.count, value);
    };
    set(ACCEL_PRINT, A_PRINT, wordS, atS);
    set(ACCEL_TRAVEL, A_TRAVEL, wordS, atS);
    set(ACCEL_PRINT, A_PRINT, wordP, atP);
    set(ACCEL_TRAVEL, A_TRAVEL, wordT, atT);
    set(ACCEL_RETRACT, A_RETRACT, wordR, atR);
  },
};

/** M220 and M221: a factor in percent. A feed of nothing would never end and is passed over. */
const factor = (place: number, least: number): Command => ({
  reading: 'lenient',
  run(machine, mask) {
    const share = machine.words[atS]! / 100;
    if (mask & wordS && (share > 0 || share === least)) machine.numbers[place] = share;
  },
});

const plain = (run: (machine: Machine) => void): Command => ({ reading: 'none', run });

const otherPlane = plain((machine) => machine.faultHere('plane', 'stop'));

const codes: readonly (readonly [string, Command])[] = [
  ['G0', move(0)],
  ['G1', move(1)],
  ['G2', move(2)],
  ['G3', move(3)],
  ['G4', dwell],
  ['G10', drawBack],
  ['G11', giveBack],
  ['G17', nothing],
  ['G18', otherPlane],
  ['G19', otherPlane],
  [
    'G20',
    plain((machine) => {
      machine.numbers[SCALE] = MM_PER_INCH;
      machine.note('inches');
    }),
  ],
  [
    'G21',
    plain((machine) => {
      machine.numbers[SCALE] = 1;
    }),
  ],
  [
    'G28',
    {
      reading: 'axes',
      run(machine, mask) {
        machine.program.add(HOME, machine.segments.count, 0);
        machine.home(mask);
      },
    },
  ],
  ['G29', halt(PROBE)],
  ['G90', plain((machine) => machine.positions(true))],
  ['G91', plain((machine) => machine.positions(false))],
  [
    'G92',
    {
      reading: 'strict',
      run(machine, mask) {
        if (machine.setNumbers(mask)) machine.note('g92-shift');
      },
    },
  ],
  ['M82', plain((machine) => machine.strandMode(true))],
  ['M83', plain((machine) => machine.strandMode(false))],
  ['M104', heat(NOZZLE, false)],
  ['M109', heat(NOZZLE, true)],
  ['M140', heat(BED, false)],
  ['M190', heat(BED, true)],
  ['M141', heat(CHAMBER, false)],
  ['M191', heat(CHAMBER, true)],
  ['M106', fan],
  ['M107', plain((machine) => machine.program.add(FAN, machine.segments.count, 0))],
  ['M200', volumetric],
  ['M204', accelerations],
  ['M220', factor(FEED_SHARE, Number.NaN)],
  ['M221', factor(FLOW_SHARE, 0)],
  ...['M0', 'M1', 'M25', 'M226', 'M600', 'M601'].map((code) => [code, halt(HANDS)] as const),
  ...(
    'M2 M17 M18 M30 M73 M75 M77 M84 M105 M110 M114 M115 M117 M118 M150 M155 M201 M203 M205 M300 M302 M400 M900 ' +
    'G53 G54 G94'
  )
    .split(' ')
    .map((code) => [code, nothing] as const),
];

/** Letter and number in one: a number of three digits is the highest that is known. */
const keyOf = (letter: number, number: number) => letter * 1000 + number;

const commands: ReadonlyMap<number, Command> = new Map(
  codes.map(([code, command]) => [keyOf(code.charCodeAt(0) - 65, Number(code.slice(1))), command]),
);

/** Command of a letter (0..25) and number, such as G and 1. Undefined: unknown. */
export function commandOf(letter: number, number: number): Command | undefined {
  return number >= 0 && number < 1000 ? commands.get(keyOf(letter, number)) : undefined;
}

const letterG = at('G');
export const letterM = at('M');
export const letterT = at('T');

export function isCommandLetter(letter: number): boolean {
  return letter === letterG || letter === letterM || letter === letterT;
}

/** Mode of a motion command G0 to G3; -1 for every other. */
export function motionMode(letter: number, number: number): number {
  return letter === letterG && (number === 0 || number === 1 || number === 2 || number === 3) ? number : -1;
}

/** Numbers from here on select no tool: they are marks of some makers of files. */
const TOOL_MOST = 254;

/** A line T: selects a tool. */
export function selectTool(machine: Machine, number: number): void {
  machine.toolSaid = true;
  if (!(number >= 0 && number <= TOOL_MOST && Number.isInteger(number))) {
    machine.note('tool', { tool: number });
    return;
  }
  if (number === machine.tool) return;
  machine.unusedTool();
  machine.tool = number;
  machine.toolLine = machine.line;
  machine.toolUsed = false;
}
