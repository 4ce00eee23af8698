import type { Fault } from '../engine/gcode/faults.ts';
import type { GcodePrint } from '../engine/gcode/print.ts';
import type { Problem } from '../problem.ts';
import { showNumber } from '../units.ts';

/** Every fault of a file as the one shape of a complaint, with its line and what would have been right. */
export function faultProblem(fault: Fault, file: string): Problem {
  const where = fault.line > 0 ? { file, line: fault.line } : { file };
  return { code: fault.code, where, ...words(fault) };
}

export type FaultList = Readonly<{
  stops: readonly Problem[];
  notes: readonly Problem[];
  /** What the first hundred leave out, by count; empty where all are listed. */
  more: string;
}>;

export function faultList(print: Pick<GcodePrint, 'name' | 'faults' | 'faultCounts'>): FaultList {
  const listed = print.faults.map((fault) => ({ fault, problem: faultProblem(fault, print.name) }));
  const all = print.faultCounts.reduce((sum, { count }) => sum + count, 0);
  const left = all - print.faults.length;
  const counts = print.faultCounts.map(({ code, count }) => `${code} ${showNumber(count, 0)}`).join(', ');
  return {
    stops: listed.filter(({ fault }) => fault.level === 'stop').map(({ problem }) => problem),
    notes: listed.filter(({ fault }) => fault.level === 'note').map(({ problem }) => problem),
    more: left > 0 ? `And ${showNumber(left, 0)} more; in all: ${counts}.` : '',
  };
}

/**
 * Note about a file that seems to be cut off in the middle: nothing after the last laid material turns the heat down or
 * calls for a person. No fault of a line, and what stands in the file is computed; null where it has an end.
 */
export function cutOffNote({
  name,
  lines,
  ending,
  usable,
}: Pick<GcodePrint, 'name' | 'lines' | 'ending' | 'usable'>): Problem | null {
  if (!usable || ending === null) return null;
  const { end, nozzleHeldS, bedHeldS } = ending;
  if (end !== 'held' || nozzleHeldS !== null || bedHeldS !== null) return null;
  return {
    code: 'cut-off',
    message: 'the file ends here, nothing turns the heat down and nobody is called: it may be cut off.',
    where: { file: name, line: lines },
    expected: 'an end that turns the heat down: look at its last lines, or export it again',
  };
}

type Words = Readonly<{ message: string; expected?: string }>;

function words({ code, level, line, detail }: Fault): Words {
  const text = `"${detail.text ?? ''}"`;
  switch (code) {
    case 'checksum':
      return {
        message:
          detail.found === -1
            ? `${text} has no sum after its star.`
            : `${text} is damaged: its bytes give the sum ${detail.expected}, not ${detail.found}.`,
        expected: 'an undamaged line: copy or export the file again',
      };
    case 'malformed':
      return malformed(detail, level);
    case 'repeated-word':
      return level === 'stop'
        ? {
            message: `${text} names ${detail.letter?.toUpperCase()} twice.`,
            expected: `one ${detail.letter?.toUpperCase()} on a line`,
          }
        : { message: `${text} names ${detail.letter?.toUpperCase()} twice: the words before it are used.` };
    case 'not-a-command':
      return level === 'stop'
        ? {
            message: `${text} moves before any motion was named.`,
            expected: 'a line that begins with G0 to G3',
          }
        : { message: `${text} is no command and is passed over.` };
    case 'feed':
      return {
        message: `${text} sets a speed that is not above 0.`,
        expected: 'mm/min after F, for example F1800',
      };
    case 'no-feed':
      return { message: `${text} moves before any speed is set: 1500 mm/min is taken.` };
    case 'arc-centre':
      return {
        message: `${text} is an arc without a centre.`,
        expected: 'I and J, or R between two different ends',
      };
    case 'arc-radius':
      return {
        message: `${text} is no arc: its ends do not lie on one circle.`,
        expected: 'ends at one distance from the centre, or R of at least half of what lies between them',
      };
    case 'plane':
      return {
        message: `${text} turns arcs out of the plane of the sheet.`,
        expected: 'arcs in XY (G17): export without others',
      };
    case 'second-tool':
      return {
        message: `material is laid with tool ${detail.tool} too.`,
        expected: 'a print with one tool: export each tool as a file of its own',
      };
    case 'tool':
      return {
        message:
          detail.unused !== undefined
            ? `tool ${detail.unused} is selected and lays nothing.`
            : /^\s*T/i.test(detail.text ?? '')
              ? `${text} selects no tool and is passed over.`
              : `${text} heats tool ${detail.tool}, which is not in use, and is passed over.`,
      };
    case 'macro':
      return {
        message: `${text} is a macro. Heat, purge or probe may happen unseen: time and heat before the first layer come from the card.`,
      };
    case 'no-temperature':
      return line > 0
        ? { message: `${text} names no temperature and is passed over.` }
        : { message: 'no nozzle temperature that can be read is set; a macro may heat.' };
    case 'inches':
      return { message: `${text} turns to inches: lengths are converted.` };
    case 'g92-shift':
      return { message: `${text} shifts the numbers of the axes: places on the sheet are kept.` };
    case 'g10-offsets':
      return { message: `${text} sets offsets and is passed over.` };
    case 'z-zero':
      return { message: 'a layer has no height here: the height of the card is taken.' };
    case 'e-mode':
      return {
        message: 'most moves that carry E lay nothing: E looks relative, but nothing says so.',
        expected:
          'M83 before the first move, or --relative-strand (in a campaign, "strand: relative" beside "gcode")',
      };
    case 'bead-section':
      return {
        message: `the mean bead has a section of ${Number(detail.found?.toPrecision(2))} mm2, which no nozzle lays.`,
        expected: '0.005 to 2 mm2: check the diameter of the strand, inches, and E in mm or mm3',
      };
    case 'nothing-printed':
      return {
        message: 'no move lays material.',
        expected: 'a file that prints: export it again, or choose another',
      };
    case 'spiral':
      return { message: 'it rises while it prints: layers are counted by turns.' };
  }
}

function malformed(detail: Fault['detail'], level: Fault['level']): Words {
  const text = `"${detail.text ?? ''}"`;
  const word = `${detail.letter ?? ''}${detail.value ?? ''}`;
  if (level === 'note')
    return { message: `${text} cannot be read from "${word}" on: the words before it are used.` };
  const kind = kindOf(detail.text ?? '');
  const message = `${text} is not ${kind}.`;
  if (detail.letter === undefined)
    return { message, expected: `a letter and a number, for example ${kind === HEAT ? 'S270' : 'X12.4'}` };
  const letter = detail.letter.toUpperCase();
  return { message, expected: `a number after ${letter}, for example ${mended(detail.value ?? '', letter)}` };
}

const HEAT = 'a target of heat';

function kindOf(text: string): string {
  const code = /^\s*(?:N\d+\s*)?([GM])\s*0*(\d+)/i.exec(text);
  if (code?.[1]?.toUpperCase() === 'M') return HEAT;
  if (code?.[2] === '92') return 'a position';
  return 'a move';
}

/** The number that was most likely meant: digits and the first point of what was written. */
function mended(value: string, letter: string): string {
  const digits = value.replace(/[^0-9.+-]/g, '');
  const number = Number.parseFloat(digits.replace(/\.+/g, '.'));
  if (Number.isFinite(number)) return String(number);
  return letter === 'S' || letter === 'R' ? '270' : letter === 'F' ? '1800' : '12.4';
}
