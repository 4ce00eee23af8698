/**
 * The four named prints of the example, and small ones of the same kinds, for tests that need a real print. Each is
 * made once in a run of tests and kept: the largest is 20 MB and takes about a second.
 */
import { type ExamplePrint, examplePrints, smallPrints } from '../../examples/prints.ts';
import { textBytes } from '../../src/engine/gcode/synthetic.ts';
import type { Source } from '../../src/engine/kernel.ts';

/** Plates A to D of the example campaign. */
export const namedPrints = {
  flat: 'flat-six.gcode',
  edge: 'edge-six.gcode',
  upright: 'upright-twelve.gcode',
  mixed: 'mixed-plate.gcode',
} as const;

/** One or two bars of each kind, cut off 6 mm up: for tests that need a form, not hours of print. */
export const quickPrints = {
  flat: 'flat-one.gcode',
  edge: 'edge-low.gcode',
  upright: 'upright-low.gcode',
  mixed: 'mixed-low.gcode',
} as const;

export type PrintName =
  | (typeof namedPrints)[keyof typeof namedPrints]
  | (typeof quickPrints)[keyof typeof quickPrints];

const known = new Map<string, ExamplePrint>(
  [...examplePrints(), ...smallPrints()].map((print) => [print.name, print]),
);
const made = new Map<string, Uint8Array>();

/** What was planned: bars with their places, supports, ending. */
export function planned(name: PrintName): ExamplePrint {
  return known.get(name)!;
}

export function printBytes(name: PrintName): Uint8Array {
  const there = made.get(name);
  if (there) return there;
  const bytes = new Uint8Array(Buffer.concat([...textBytes(planned(name).lines())]));
  made.set(name, bytes);
  return bytes;
}

export function printText(name: PrintName): string {
  return Buffer.from(printBytes(name)).toString('latin1');
}

/** As an edge hands a file to the engine. */
export function printSource(name: PrintName): Source {
  const bytes = printBytes(name);
  return {
    name,
    size: bytes.length,
    read: (offset, into) => {
      const part = bytes.subarray(offset, offset + into.length);
      into.set(part);
      return part.length;
    },
  };
}
