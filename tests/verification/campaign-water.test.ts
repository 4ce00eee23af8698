/**
 * Goal: strand that is drawn off takes exactly its own water and heat along, and over a whole campaign (opening, drying,
 * waits, prints) no water and no heat is lost. Method: balances in every draw, a spool that is drawn off cell by cell
 * against one that was never wound, half the steps, and two ways of cutting the same draws.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GAS_CONSTANT, MOLAR_MASS_WATER } from '../../src/engine/air/constants.ts';
import { Draws } from '../../src/engine/draws.ts';
import { courseOf } from '../../src/engine/links/course.ts';
import { dry } from '../../src/engine/links/dry.ts';
import { feed } from '../../src/engine/links/feed.ts';
import { join, sliceOf } from '../../src/engine/links/link.ts';
import { stayDry } from '../../src/engine/links/stay-dry.ts';
import { columnOf, makeOutcome, type Plan, simulate } from '../../src/engine/moisture/spool.ts';
import {
  fillState,
  type Grid,
  layWinding,
  makeScratch,
  makeState,
  packState,
  type Scratch,
  stateWidth,
  unpackState,
} from '../../src/engine/moisture/spool-state.ts';
import { drawOff, noneDrawn } from '../../src/engine/moisture/unwind.ts';
import { narrow } from '../../src/work/assess.ts';
import { assessed, jobOf, median, print, SEED } from '../facts/campaign-scenes.ts';
import { places, spoolOf } from '../facts/dry-scenes.ts';

const HOUR = 3600;
const GRID: Grid = { rings: 6, layers: 6, shells: 8 };

/** A winding whose water, warmth and vapour differ from cell to cell. */
function uneven(grid: Grid): { s: Scratch; spool: ReturnType<typeof spoolOf> } {
  const s = makeScratch(grid);
  const spool = spoolOf(0.3);
  layWinding(s, spool.polymer, spool.winding);
  fillState(s, spool.polymer, spool.water, 300);
  const { state } = s;
  for (let c = 0; c < s.cells; c++) {
    state.temperature[c] = 300 + 2 * c;
    state.vapour[c] = 500 + 20 * c;
    state.liquid[c] = 1e-6 * c;
    let sum = 0;
    for (let i = 0; i < grid.shells; i++) {
      const water = 0.002 + 1e-4 * c + 1e-4 * i;
      state.water[c * grid.shells + i] = water;
      sum += s.shells.share[i]! * water;
    }
    state.mean[c] = sum;
  }
  return { s, spool };
}

function held(s: Scratch) {
  const { state } = s;
  let water = 0;
  let vapour = 0;
  let heat = 0;
  let strand = 0;
  for (let c = 0; c < s.cells; c++) {
    water += s.polymerMass[c]! * state.mean[c]!;
    vapour +=
      (s.porosity * s.volume[c]! * MOLAR_MASS_WATER * state.vapour[c]!) /
        (GAS_CONSTANT * state.temperature[c]!) +
      state.liquid[c]!;
    heat += s.heat[c]! * state.temperature[c]!;
    strand += s.polymerMass[c]!;
  }
  return { water, vapour, heat, strand };
}

describe('strand drawn off', () => {
  it('takes along what it held: water, vapour, heat and strand add up, however much goes at a time', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.0001, max: 0.3, noNaN: true }), { minLength: 1, maxLength: 12 }),
        (pieces) => {
          const { s, spool } = uneven(GRID);
          const share = 1 - spool.polymer.fibreShare;
          const before = held(s);
          const drawn = noneDrawn();
          for (const strand of pieces) drawOff(s, spool.polymer, strand, drawn);
          const after = held(s);
          expect((after.water + drawn.water) / before.water).toBeCloseTo(1, 12);
          expect((after.vapour + drawn.vapour) / before.vapour).toBeCloseTo(1, 12);
          expect((after.heat + drawn.heat) / before.heat).toBeCloseTo(1, 12);
          expect((after.strand + drawn.strand * share) / before.strand).toBeCloseTo(1, 12);
          const wanted = pieces.reduce((a, b) => a + b, 0);
          expect(drawn.strand + drawn.lacking).toBeCloseTo(wanted, 12);
          expect(Math.min(...s.state.mean)).toBeGreaterThan(0);
          // The mean of a cell stays the mean of its shells.
          for (let c = 0; c < s.cells; c++) {
            let sum = 0;
            for (let i = 0; i < GRID.shells; i++)
              sum += s.shells.share[i]! * s.state.water[c * GRID.shells + i]!;
            expect(s.state.mean[c]! / sum).toBeCloseTo(1, 12);
          }
        },
      ),
      { seed: 20261125, numRuns: 60 },
    );
  });

  it('goes from the outside alone: inner windings keep their water until the rings are laid anew', () => {
    const { s, spool } = uneven(GRID);
    const inner = s.state.mean[0]!;
    drawOff(s, spool.polymer, 0.02, noneDrawn());
    expect(s.state.mean[0]).toBe(inner);
    expect(s.face[GRID.rings]!).toBeLessThan(spool.winding.outerRadius);
    expect(s.face[GRID.rings - 1]!).toBeCloseTo(
      spool.winding.innerRadius +
        ((spool.winding.outerRadius - spool.winding.innerRadius) * (GRID.rings - 1)) / GRID.rings,
      12,
    );
  });

  it('never empties the hub: what is not there is told as lacking', () => {
    const { s, spool } = uneven(GRID);
    const drawn = noneDrawn();
    drawOff(s, spool.polymer, 5, drawn);
    expect(drawn.lacking).toBeGreaterThan(3.9);
    expect(drawn.strand + drawn.lacking).toBeCloseTo(5, 12);
    expect(s.face[GRID.rings]!).toBeGreaterThan(spool.winding.innerRadius);
    expect(Math.min(...s.volume)).toBeGreaterThan(0);
  });

  it('follows the radius of a winding that had so much less on it from the start', () => {
    const { s, spool } = uneven(GRID);
    drawOff(s, spool.polymer, 0.4, noneDrawn());
    const { innerRadius, outerRadius } = spool.winding;
    const whole = outerRadius ** 2 - innerRadius ** 2;
    // 1 kg fills the winding of this spool (tests/facts/dry-scenes.ts).
    expect(s.face[GRID.rings]!).toBeCloseTo(Math.sqrt(innerRadius ** 2 + 0.6 * whole), 4);
  });

  it('a state is packed and unpacked without a change', () => {
    const { s } = uneven(GRID);
    const row = new Float64Array(stateWidth(GRID) + 3);
    packState(s.state, row, 2);
    const state = makeState(GRID);
    unpackState(row, 2, state);
    expect(state).toEqual(s.state);
  });
});

describe('a whole campaign', () => {
  const heated = places['heated box'];
  const bed = places['bed under board'];
  const room = places['open room'];
  const sealed = places['sealed box with desiccant'];
  const wholePlan = (step: number): Plan => ({
    stretches: [
      { place: room, time: 40 * HOUR, step: 6 * step },
      { place: bed, time: 8 * HOUR, step, flips: [4 * HOUR] },
      { place: heated, time: HOUR, step },
      { place: heated, time: 6 * HOUR, step: 2 * step, goesOn: true, drawn: 0.12 },
      { place: heated, time: 12 * HOUR, step: 4 * step, goesOn: true },
      { place: heated, time: 12 * HOUR, step: 2 * step, goesOn: true, drawn: 0.3 },
      { place: room, time: 24 * HOUR, step: 6 * step },
      { place: sealed, time: 48 * HOUR, step: 6 * step },
      { place: heated, time: 8 * HOUR, step: 2 * step, drawn: 0.4 },
    ],
    samples: [48 * HOUR, 60 * HOUR, 90 * HOUR],
  });

  it('closes its balance of water within 1e-3 g and of heat within 1e-6, from the bag to the last plate', () => {
    const plan = wholePlan(240);
    const outcome = makeOutcome(plan, GRID);
    const spool = spoolOf(0.25);
    simulate(spool, plan, makeScratch(GRID), outcome);
    expect(outcome.waterBalance * 1000).toBeLessThan(1e-3);
    expect(Math.abs(outcome.heatBalance)).toBeLessThan(1e-6);
    expect(outcome.drawn.strand).toBeCloseTo(0.82, 9);
    // Water of the bag = what left as vapour and with the strand, and what is still there.
    const end = outcome.ends.at(-1)!;
    const share = 1 - spool.polymer.fibreShare;
    const start = spool.water * share;
    const waterOf = (w: number) => w / (share * (1 - w));
    const still = waterOf(end.mean) * share * (1 - outcome.drawn.strand);
    expect(start - end.lost - outcome.drawn.water).toBeCloseTo(still, 6);
  });

  it('half the steps change the water of the outer winding by less than 2 %, in prints too', () => {
    const outer = [480, 240, 120].map((step) => {
      const plan = wholePlan(step);
      return columnOf(simulate(spoolOf(0.25), plan, makeScratch(GRID), makeOutcome(plan, GRID)), 'outer');
    });
    for (let k = 0; k < 3; k++)
      expect(Math.abs(outer[1]![k]! / outer[2]![k]! - 1), `moment ${k}`).toBeLessThan(0.02);
  });

  it('a spool printed empty to the last grams is followed without a fault', () => {
    const plan: Plan = {
      stretches: [
        { place: heated, time: HOUR, step: 300 },
        { place: heated, time: 20 * HOUR, step: 600, goesOn: true, drawn: 1.2 },
      ],
    };
    const outcome = simulate(spoolOf(0.25), plan, makeScratch(GRID), makeOutcome(plan, GRID));
    expect(outcome.drawn.lacking).toBeGreaterThan(0.15);
    expect(outcome.waterBalance * 1000).toBeLessThan(1e-3);
    expect(Math.abs(outcome.heatBalance)).toBeLessThan(1e-6);
    expect(outcome.ends[1]!.outer).toBeGreaterThan(0);
  });

  const text = `kit:
  dryer: { card: fan-oven, at: "90 C", for: "8 h" }
  box: { card: heated-box-with-desiccant, path: [{ tube: "0.7 m" }, { bend: "60 mm x 90 deg" }] }
spool: { net: "750 g", body: plastic, dry at most: "100 C", since opened: [{ in: room, for: "2 d" }] }
`;
  const prints = [print('A', 0.5, 4), print('B', 16, 12), print('C', 40, 5)];

  it('through the links closes both balances in every draw, and each plate starts with what the last one left', () => {
    const found = assessed(jobOf(text, prints), 32);
    for (const name of ['Dry', 'Stay dry'] as const) {
      const { figures } = found[name]!;
      expect(Math.max(...figures['water balance']!) * 1000).toBeLessThan(1e-3);
      expect(Math.max(...figures['heat balance']!.map(Math.abs))).toBeLessThan(1e-6);
    }
    const stay = found['Stay dry']!;
    const { axis, rows } = stay.traces['winding radius']!;
    const { legs } = courseOf(prints);
    for (let i = 0; i < 32; i++) {
      const radius = (k: number) => rows[k + axis.length * i]!;
      const printed = legs.filter((leg) => leg.print >= 0);
      for (const [k, leg] of printed.entries()) {
        expect(radius(leg.lastPoint)).toBeLessThan(radius(leg.firstPoint));
        if (k > 0) expect(radius(leg.firstPoint)).toBeCloseTo(radius(printed[k - 1]!.lastPoint), 12);
      }
    }
    // Running strand leaves the tube with what the winding gave it and what the tube adds, never with less than it held
    // where the room is damper than it.
    const row = (name: string, i: number) =>
      stay.traces[name]!.rows.subarray(i * axis.length, (i + 1) * axis.length);
    for (let i = 0; i < 32; i++) {
      const [nozzle, outer] = [row('nozzle', i), row('outer winding', i)];
      const gains = legs
        .filter((leg) => leg.print >= 0)
        .flatMap((leg) =>
          Array.from(
            { length: leg.lastPoint - leg.firstPoint },
            (_, k) => nozzle[leg.firstPoint + 1 + k]! - outer[leg.firstPoint + 1 + k]!,
          ),
        );
      expect(Math.min(...gains)).toBeGreaterThan(0);
      expect(Math.max(...gains)).toBeLessThanOrEqual(stay.figures['added in the tube']![i]! + 1e-15);
    }
    const mass = prints.reduce((sum, { mass }) => sum + mass, 0);
    expect(median(stay.figures['strand drawn']!)).toBeCloseTo(mass, 2);
    // The spool stands in its box as the drying left it.
    const dried = found.Dry!.figures['mean water']!;
    const worst = found.Dry!.figures['worst water']!;
    for (let i = 0; i < 32; i++) {
      const start = stay.figures['water at the start']![i]!;
      expect(start).toBeLessThanOrEqual(worst[i]! * 1.0001);
      expect(start).toBeLessThanOrEqual(dried[i]! * 2);
    }
  });

  it('gives the same numbers in one piece and in pieces put end to end, link by link', () => {
    const job = jobOf(text, prints);
    const whole = assessed(job, 32);
    for (const link of [dry, stayDry, feed]) {
      const narrowed = narrow(job, link);
      const parts = [0, 8, 24].map((from, k) => {
        const to = [8, 24, 32][k]!;
        const earlier = Object.fromEntries(
          (link.after ?? []).map((name) => [name, sliceOf(whole[name]!, from, to)]),
        );
        return link.assess(
          narrowed,
          new Draws(narrowed.entries, { seed: SEED, from, to }),
          earlier,
          () => {},
        );
      });
      expect(join(parts)).toEqual(whole[link.name]);
    }
  });

  it('a bed that prints feeds nothing: refused in a sentence', () => {
    const onBed = text.replace('heated-box-with-desiccant', 'bed-under-card-cover');
    expect(() => assessed(jobOf(onBed, prints), 2)).toThrow(
      /^The strand cannot be fed from a bed that prints.*\.$/,
    );
  });

  it('a box above 70 C counts as 70 C while nobody has said what strand and spool stand', () => {
    const at = (heat: string) =>
      assessed(
        jobOf(
          text.replace('-with-desiccant', `, at: "${heat}"`).replace(', dry at most: "100 C"', ''),
          prints,
        ),
        4,
      )['Stay dry']!.checks[0]!.values;
    expect([...at('90 C')]).toEqual([...at('70 C')]);
    expect([...at('60 C')]).not.toEqual([...at('70 C')]);
  });
});
