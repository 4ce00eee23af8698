import { describe, expect, it } from 'vitest';
import { partHeat } from './part-heat.ts';
import { readGcodeBytes } from './print.ts';
import { trialCard } from './trial.ts';

// Goal: parts are told apart as they lie on the sheet, and each gets what is laid on it. Method: plates of filled
// rectangles whose area, volume and times are known, written line by line.

const LAYER = 0.2;
/** Lines 0.45 mm apart with the strand that fills them, so that solid parts are solid. */
const SPACING = 0.45;
const AREA = (Math.PI / 4) * 1.75 ** 2;

type Box = readonly [x: number, y: number, width: number, height: number];

/** Lines along x over a box, joined at their ends. */
function filled([x, y, width, height]: Box, spacing = SPACING): string {
  const lines: string[] = [];
  const n = Math.round(height / spacing);
  for (let k = 0; k < n; k++) {
    const at = (y + (k + 0.5) * spacing).toFixed(3);
    const [a, b] = k % 2 === 0 ? [x, x + width] : [x + width, x];
    lines.push(
      k === 0
        ? `G0 X${a} Y${at} F9000`
        : `G1 X${a} Y${at} E${((SPACING * SPACING * LAYER) / AREA).toFixed(5)} F3000`,
    );
    lines.push(`G1 X${b} Y${at} E${((width * SPACING * LAYER) / AREA).toFixed(5)} F3000`);
  }
  return lines.join('\n');
}

const layerAt = (k: number) => `G1 Z${((k + 1) * LAYER).toFixed(1)} F600`;
const read = (lines: readonly string[]) =>
  readGcodeBytes(new TextEncoder().encode(`G90\nM83\nM104 S270\n${lines.join('\n')}\n`), trialCard, 'made');

const layers = (n: number, draw: (k: number) => string[]) =>
  Array.from({ length: n }, (_, k) => [layerAt(k), ...draw(k)]).flat();

describe('parts on the sheet', () => {
  it('nested bars 2 mm apart stay apart, and a shared brim shows as one contact under both', () => {
    const lower: Box = [20, 20, 60, 9];
    const upper: Box = [20, 31, 60, 9];
    const brim: Box = [15, 28.9, 70, 2.25];
    const { parts } = read(
      layers(5, (k) => [filled(lower), filled(upper), ...(k === 0 ? [filled(brim)] : [])]),
    );
    expect(parts!.parts.map(({ kind }) => kind)).toEqual(['bar', 'bar']);
    expect(parts!.contacts).toBe(1);
    expect(parts!.parts.map(({ contacts }) => contacts)).toEqual([[0], [0]]);
    // The brim reaches 5 mm further on both sides and lies within 1 mm of the bars for a part.
    expect(parts!.unattachedMm3).toBeGreaterThan(0);
    for (const part of parts!.parts) {
      expect(part.longMm).toBeCloseTo(60.5, 0);
      expect(part.shortMm).toBeCloseTo(9, 0);
      expect(part.heightMm).toBeCloseTo(1, 9);
      expect(part.solid).toBeGreaterThan(0.9);
      expect(part.layers).toBe(5);
    }
  });

  it('a support of open lines is no bar, and a skirt of two layers is low', () => {
    const plate = read(
      layers(4, (k) => [
        filled([20, 20, 40, 9]),
        filled([80, 20, 20, 20], 2.5),
        ...(k < 2 ? [filled([20, 60, 30, 3])] : []),
      ]),
    );
    expect(plate.parts!.parts.map(({ kind }) => kind)).toEqual(['bar', 'support']);
    const two = read(layers(2, () => [filled([20, 20, 40, 9])]));
    expect(two.parts!.parts.map(({ kind }) => kind)).toEqual(['low']);
  });

  it('a bar turned on the sheet keeps its sides', () => {
    const turned = (degrees: number) => {
      const c = Math.cos((degrees * Math.PI) / 180);
      const s = Math.sin((degrees * Math.PI) / 180);
      return filled([-30, -4.5, 60, 9]).replace(/X(\S+) Y(\S+)/g, (_, x, y) => {
        const [a, b] = [Number(x), Number(y)];
        return `X${(100 + c * a - s * b).toFixed(3)} Y${(100 + s * a + c * b).toFixed(3)}`;
      });
    };
    for (const degrees of [0, 17, 45, 73, 90]) {
      const [part] = read(layers(3, () => [turned(degrees)])).parts!.parts;
      expect(Math.abs(part!.longMm - 60.5)).toBeLessThan(0.8);
      expect(Math.abs(part!.shortMm - 9.2)).toBeLessThan(0.8);
      expect(Math.abs(((part!.turnDeg - degrees + 270) % 180) - 90)).toBeLessThanOrEqual(1);
    }
  });

  it('a part printed on its own returns to itself sooner than one of two in turns', () => {
    const a: Box = [20, 20, 30, 9];
    const b: Box = [20, 60, 30, 9];
    const together = read(layers(6, () => [filled(a), filled(b)]));
    const apart = read([...layers(6, () => [filled(a)]), ...layers(6, () => [filled(b)])]);
    expect(apart.passes.count).toBe(12);
    expect(apart.parts!.parts.length).toBe(2);
    const returnOf = (print: typeof apart, part: number) => {
      const { passes } = print.parts!;
      const rows = Array.from({ length: passes.count }, (_, k) => k).filter((k) => passes.part[k] === part);
      expect(rows.length).toBe(6);
      return passes.returnS[rows[2]!]!;
    };
    for (const part of [0, 1]) expect(returnOf(together, part) / returnOf(apart, part)).toBeCloseTo(2, 0);
  });

  it('an outline goes round its part, with few corners', () => {
    const [part] = read(layers(3, () => [filled([20, 20, 60, 9])])).parts!.parts;
    const outline = part!.outlineMm;
    expect(outline.length).toBeLessThan(40);
    const xs = outline.filter((_, k) => k % 2 === 0);
    const ys = outline.filter((_, k) => k % 2 === 1);
    expect([Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]).toEqual(part!.boxMm);
    let doubled = 0;
    for (let k = 0; k < xs.length; k++) {
      const next = (k + 1) % xs.length;
      doubled += xs[k]! * ys[next]! - xs[next]! * ys[k]!;
    }
    expect(doubled / 2 / part!.areaMm2).toBeCloseTo(1, 1);
  });

  it('an arc is drawn where it bends', () => {
    const ring = layers(3, () => [
      'G0 X120 Y100',
      `G3 X120 Y100 I-20 J0 E${((2 * Math.PI * 20 * 0.09) / AREA).toFixed(5)} F1800`,
    ]);
    const [part] = read(ring).parts!.parts;
    expect(part!.boxMm[0]).toBeCloseTo(79.75, 0);
    expect(part!.boxMm[3]).toBeCloseTo(120.25, 0);
    // A ring of two to three cells along its round.
    expect(part!.areaMm2 / (2 * Math.PI * 20)).toBeGreaterThan(0.4);
    expect(part!.areaMm2 / (2 * Math.PI * 20)).toBeLessThan(0.8);
    expect(part!.volumeMm3).toBeCloseTo(2 * Math.PI * 20 * 0.09 * 3, 2);
  });

  it('far away places make the cells coarser, not the reading impossible', () => {
    const { parts } = read(layers(3, () => [filled([0, 0, 20, 9]), filled([30_000, 30_000, 20, 9])]));
    expect(parts!.cellMm).toBeGreaterThan(0.25);
    expect(parts!.parts.length).toBe(2);
  });

  it('heat per area and time is what a layer brings, over the time until the next', () => {
    const print = read(layers(5, () => [filled([20, 20, 60, 9])]));
    const melt = { rhoKgM3: 1200, cJKgK: 2000, meltJKg: 50_000, fromC: 270, toC: 100 };
    const { heatJ, fluxWM2 } = partHeat(print.parts!.passes, print.passes, melt);
    const volume = print.parts!.parts[0]!.volumeMm3;
    expect(heatJ.reduce((a, b) => a + b, 0)).toBeCloseTo(volume * 1e-9 * 1200 * (2000 * 170 + 50_000), 6);
    // Heat of one layer of height h: rho h (c dT + dH), over its time.
    const time = print.parts!.passes.returnS[1]!;
    expect(fluxWM2[1]).toBeCloseTo((1200 * 0.2e-3 * (2000 * 170 + 50_000)) / time, 3);
  });
});

describe('passes of a spiral', () => {
  it('are turns, each as high as what it rises', () => {
    const points = Array.from({ length: 40 * 10 + 1 }, (_, k) => {
      const angle = (2 * Math.PI * k) / 40;
      return `G1 X${(100 + 20 * Math.cos(angle)).toFixed(3)} Y${(100 + 20 * Math.sin(angle)).toFixed(3)} Z${(0.2 + (k * 0.3) / 40).toFixed(4)} E0.2`;
    });
    const { passes } = read(['G0 X120 Y100 Z0.2 F3000', ...points.slice(1)]);
    expect(passes.spiral).toBe(true);
    expect(passes.count).toBe(10);
    for (let k = 1; k < 10; k++) expect(passes.heightMm[k]).toBeCloseTo(0.3, 3);
  });
});
