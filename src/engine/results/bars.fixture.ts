import type { RecordedBar } from '../curves/reading.ts';
import type { BarFacts, BarResult, CurveOrigin, TestFacts } from './bar.ts';
import { reduceBar } from './reduce-bar.ts';

/** Bars for tests: a curve that rises straight to a break, and what is known of the bar. */

export const TEST: TestFacts = {
  gaugeLength: 0.05,
  gripDistance: 0.115,
  compliance: null,
  options: { toe: 'auto' },
  forceError: 0.01 / Math.sqrt(3),
  extensometerError: 0.01 / Math.sqrt(3),
  caliperError: 1e-5 / Math.sqrt(3),
  ridge: 3e-5,
};

export const ORIGIN: CurveOrigin = { file: 'a.csv', hash: 'ab', lineFirst: 2, lineLast: 103, name: 'A1' };

export function facts(bar: string, said: Partial<BarFacts> = {}): BarFacts {
  return {
    bar,
    called: null,
    group: 'flat',
    orientation: 'flat',
    type: '1B',
    plate: 'A',
    round: null,
    at: null,
    condition: 'dry as printed',
    width: [0.01, 0.01, 0.01],
    thickness: [0.004, 0.004, 0.004],
    area: null,
    leftOut: null,
    note: '',
    spare: false,
    covariates: { layerTime: null, water: null, mass: null, plateOrder: null, testOrder: null },
    ...said,
  };
}

/** A hundred readings up to a force [N] at 2 % strain, then a break. */
export function recorded(name: string, force: number, measures = {}): RecordedBar {
  const rise = Float64Array.from({ length: 101 }, (_, k) => (force * k) / 100);
  return {
    name,
    named: true,
    lineFirst: 2,
    lineLast: 103,
    measures: { width: null, thickness: null, gaugeLength: null, gripDistance: null, ...measures },
    channels: {
      force: Float64Array.from([...rise, 1]),
      strain: Float64Array.from({ length: 102 }, (_, k) => (0.02 * Math.min(k, 100)) / 100),
    },
    rowsWithoutForce: 0,
    turned: false,
  };
}

/** A reduced bar of that strength [MPa]. */
export function barOf(name: string, strength: number, said: Partial<BarFacts> = {}): BarResult {
  return reduceBar(facts(name, said), recorded(name, strength * 40), ORIGIN, TEST);
}
