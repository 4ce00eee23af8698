/**
 * Goal: the example that everybody opens first is whole: its campaign reads without a complaint, says that it is
 * invented, and speaks of the bars that stand in its files, at the places where a reader finds them.
 */
import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeJob } from '../../src/campaign/job.ts';
import { Draws } from '../../src/engine/draws.ts';
import { compare, LINES } from '../../src/engine/gcode/against.ts';
import type { Part } from '../../src/engine/gcode/parts.ts';
import { type GcodePrint, readGcode } from '../../src/engine/gcode/print.ts';
import { dry } from '../../src/engine/links/dry.ts';
import { gcodeCardOf } from '../../src/work/gcode-card.ts';
import { openCampaign } from '../../src/work/library.ts';
import { plannedPrint } from '../../src/work/planned-print.ts';
import { namedPrints, type PrintName, planned, printSource, quickPrints } from './named-prints.ts';

const { campaign, cards } = openCampaign('examples/sensor-bracket.yaml');
const job = makeJob(campaign, cards, 'examples');
const card = gcodeCardOf(job);
const read = (name: PrintName): GcodePrint => readGcode(printSource(name), card);
const centre = ({ boxMm }: Part) => [(boxMm[0] + boxMm[2]) / 2, (boxMm[1] + boxMm[3]) / 2] as const;
/** Parts whose middle lies within half a bar's length and 3 mm across of a place, m. */
const partsAt = (parts: readonly Part[], [x, y]: readonly [number, number], reach: number): Part[] =>
  parts.filter((part) => {
    const [px, py] = centre(part);
    return Math.abs(px - x * 1e3) <= reach && Math.abs(py - y * 1e3) <= 3;
  });

describe('the example campaign', () => {
  it('says that it is invented, has four plates, and every group has the bars that stand on them', () => {
    expect(job.invented).toBe(true);
    expect(job.plates.map(({ name }) => name)).toEqual(['A', 'B', 'C', 'D']);
    for (const group of job.groups) {
      const bars = job.plates.flatMap(({ bars }) => bars.filter((bar) => bar.group === group.name));
      expect(bars).toHaveLength(group.bars);
    }
  });

  it('names the files that are made, with every bar at its place and in its orientation', () => {
    const files = job.plates.map(({ print }) => (print?.kind === 'gcode' ? print.file : ''));
    expect(files).toEqual(Object.values(namedPrints).map((name) => `prints/${name}`));
    for (const [i, plate] of job.plates.entries()) {
      const { bars } = planned(basename(files[i]!) as PrintName);
      expect(plate.bars).toHaveLength(bars.length);
      for (const [k, bar] of plate.bars.entries()) {
        const { orientation, at } = bars[k]!;
        expect(job.groups.find(({ name }) => name === bar.group)!.orientation).toBe(orientation);
        expect(bar.at![0]).toBeCloseTo(at[0], 9);
        expect(bar.at![1]).toBeCloseTo(at[1], 9);
      }
    }
  });

  it('lists bars as a reader numbers them: by y, then by x', () => {
    for (const name of Object.values(namedPrints)) {
      const { bars } = planned(name);
      // A reader sorts by the corner of a bar's box.
      const corner = bars.map((_, i) => {
        const { solid, at } = planned(name).print.bars[i]!;
        return [at[1] - solid.width / 2, at[0] - solid.length / 2] as const;
      });
      expect(corner).toEqual(corner.toSorted((a, b) => a[0] - b[0] || a[1] - b[1]));
    }
  });

  it('is a plan whose spool is too wet for the strict limit more often than not, and mostly printable (own expectation, no source)', () => {
    const count = 64;
    const draws = new Draws(job.entries, { seed: 1, from: 0, to: count });
    const { checks } = dry.assess(job, draws, {}, () => {});
    const holds = Object.fromEntries(
      checks.map(({ name, margin }) => [name, margin.filter((m) => m >= 1).length / count]),
    );
    expect(holds['strict']).toBeLessThan(0.5);
    expect(holds['visible']).toBeGreaterThan(0.5);
  });
});

describe('the example prints, read as files', () => {
  it.each([...Object.values(namedPrints), ...Object.values(quickPrints)])(
    '%s: nothing in it is a fault or unknown, and it ends as planned',
    (name) => {
      const print = read(name);
      expect(print.faults).toEqual([]);
      expect(print.totals.unknown).toBe(0);
      expect(print.ending!.end).toBe(planned(name).ending);
      expect(print.totals.retractMm).toBeGreaterThan(0.799 * print.totals.retractions);
    },
  );

  it.each(Object.values(namedPrints))('%s: hours of print, and the strand of its bars', (name) => {
    const { totals, passes } = read(name);
    expect(totals.timeS / 3600).toBeGreaterThan(3);
    expect(totals.timeS / 3600).toBeLessThan(15);
    const bars = planned(name).bars.reduce((sum, { volume }) => sum + volume * 1e9, 0);
    // Supports, posts, brims and the line along the front beside the bars themselves.
    expect(totals.laidMm3).toBeGreaterThan(bars);
    expect(totals.laidMm3).toBeLessThan(1.27 * bars);
    const height = Math.max(...planned(name).print.bars.map(({ solid }) => solid.height * 1e3));
    expect(Math.max(...passes.zMm)).toBeCloseTo(height, 3);
    expect(passes.count).toBe(Math.round(height / 0.2));
  });

  it.each(Object.values(namedPrints))(
    '%s: each planned bar is one solid part, and nothing else is',
    (name) => {
      const { parts } = read(name).parts!;
      const { bars, supports, print } = planned(name);
      const found = parts.filter(({ kind }) => kind === 'bar');
      expect(found).toHaveLength(bars.length);
      for (const [k, bar] of found.entries()) {
        const { at, volume } = bars[k]!;
        const { solid } = print.bars[k]!;
        // In the order of the plan, at its place.
        expect(Math.hypot(centre(bar)[0] - at[0] * 1e3, centre(bar)[1] - at[1] * 1e3)).toBeLessThan(0.3);
        expect(bar.solid).toBeGreaterThan(0.95);
        expect(bar.solid).toBeLessThan(1.05);
        // The innermost millimetre of a brim counts with its bar.
        expect(bar.volumeMm3 / (volume * 1e9)).toBeGreaterThan(0.99);
        expect(bar.volumeMm3 / (volume * 1e9)).toBeLessThan(1.02);
        expect(bar.heightMm).toBeCloseTo(solid.height * 1e3, 3);
        expect(Math.abs(bar.longMm - solid.length * 1e3)).toBeLessThan(0.6);
        expect(Math.abs(bar.shortMm - solid.width * 1e3)).toBeLessThan(0.6);
      }
      // Posts beside standing bars, supports under bars on edge; the line along the front ends under the third layer.
      const others = parts.filter(({ kind }) => kind !== 'bar');
      expect(others).toHaveLength(supports);
      for (const { kind, solid } of others) {
        expect(kind).toBe('support');
        expect(solid).toBeLessThan(0.6);
      }
    },
  );

  it('is what the campaign says, line by line', () => {
    for (const plate of job.plates) {
      const name = basename(plate.print?.kind === 'gcode' ? plate.print.file : '') as PrintName;
      const print = read(name);
      const { answers, orientations, different } = compare(print, plannedPrint(job, plate));
      const said = Object.fromEntries(LINES.map((line, k) => [line, answers[k]]));
      expect(said).toMatchObject({ bars: 'same', orientation: 'same', nozzle: 'same', bed: 'same' });
      expect(different).toBe(0);
      expect(orientations).toEqual(
        planned(name).bars.map(({ orientation }) => (orientation === 'on edge' ? 'edge' : orientation)),
      );
      // The number of a bar is that of its part.
      for (const { part, at } of plate.bars) {
        const found = print.parts!.parts[part! - 1]!;
        expect(found.kind).toBe('bar');
        expect(Math.hypot(centre(found)[0] - at![0] * 1e3, centre(found)[1] - at![1] * 1e3)).toBeLessThan(
          0.3,
        );
      }
      expect(plate.bars).toHaveLength(print.parts!.parts.filter(({ kind }) => kind === 'bar').length);
    }
  });

  it.each([namedPrints.flat, namedPrints.mixed, quickPrints.flat, quickPrints.mixed])(
    '%s: each flat bar is one solid part with the volume of the bar',
    (name) => {
      const { parts } = read(name).parts!;
      const flat = planned(name).bars.filter(({ orientation }) => orientation === 'flat');
      for (const { at, volume } of flat) {
        const [part, ...others] = partsAt(parts, at, 1);
        expect(others).toEqual([]);
        expect(part!.solid).toBeGreaterThan(0.85);
        expect(part!.volumeMm3 / (volume * 1e9)).toBeCloseTo(1, 3);
        expect(Math.hypot(centre(part!)[0] - at[0] * 1e3, centre(part!)[1] - at[1] * 1e3)).toBeLessThan(0.3);
      }
    },
  );

  it.each([namedPrints.upright, namedPrints.mixed, quickPrints.upright])(
    '%s: each standing bar is one part between two posts',
    (name) => {
      const { parts } = read(name).parts!;
      for (const { at, volume } of planned(name).bars.filter(
        ({ orientation }) => orientation === 'upright',
      )) {
        const [left, bar, right, ...others] = partsAt(parts, at, 15).toSorted(
          (a, b) => a.boxMm[0] - b.boxMm[0],
        );
        expect(others).toEqual([]);
        expect(Math.hypot(centre(bar!)[0] - at[0] * 1e3, centre(bar!)[1] - at[1] * 1e3)).toBeLessThan(0.3);
        expect(bar!.volumeMm3 / (volume * 1e9)).toBeGreaterThan(0.99);
        expect(bar!.volumeMm3 / (volume * 1e9)).toBeLessThan(1.02);
        for (const post of [left!, right!]) {
          expect(post.solid).toBeLessThan(0.6);
          expect(post.heightMm).toBeCloseTo(bar!.heightMm, 3);
        }
      }
    },
  );

  it.each([namedPrints.edge, namedPrints.mixed, quickPrints.edge])(
    '%s: what is laid on a bar on edge is the bar and a twentieth more for its support',
    (name) => {
      const { parts } = read(name).parts!;
      for (const { at, volume } of planned(name).bars.filter(
        ({ orientation }) => orientation === 'on edge',
      )) {
        const laid = partsAt(parts, at, 76).reduce((sum, part) => sum + part.volumeMm3, 0) / (volume * 1e9);
        expect(laid).toBeGreaterThan(1);
        expect(laid).toBeLessThan(name === quickPrints.edge ? 1.25 : 1.06);
      }
    },
  );
});
