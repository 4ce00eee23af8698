import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readGcodeBytes } from './print.ts';
import { trialCard } from './trial.ts';

// Goal: a part is what hangs together through all its layers, and nothing else. Method: plates of filled boxes whose
// shape is known, written line by line; random lines against a slow and obvious way.

const LAYER = 0.2;
const SPACING = 0.45;
const AREA = (Math.PI / 4) * 1.75 ** 2;

type Box = readonly [x: number, y: number, width: number, height: number];

/** Lines along x over a box, joined at their ends; material fills the box where they are as far apart as beads are wide. */
function filled([x, y, width, height]: Box, spacing = SPACING): string {
  const lines: string[] = [];
  const n = Math.max(1, Math.round(height / spacing));
  for (let k = 0; k < n; k++) {
    const at = (y + (k + 0.5) * spacing).toFixed(3);
    const [a, b] = k % 2 === 0 ? [x, x + width] : [x + width, x];
    const strand = (length: number) => ((length * SPACING * LAYER) / AREA).toFixed(5);
    lines.push(k === 0 ? `G0 X${a} Y${at} F9000` : `G1 X${a} Y${at} E${strand(spacing)} F3000`);
    lines.push(`G1 X${b} Y${at} E${strand(width)} F3000`);
  }
  return lines.join('\n');
}

const layerAt = (k: number, layer = LAYER) => `G1 Z${((k + 1) * layer).toFixed(3)} F600`;
const layers = (n: number, draw: (k: number) => string[]) =>
  Array.from({ length: n }, (_, k) => [layerAt(k), ...draw(k)]).flat();
const read = (lines: readonly string[], card = trialCard) =>
  readGcodeBytes(new TextEncoder().encode(`G90\nM83\nM104 S270\n${lines.join('\n')}\n`), card, 'made');

/** Share of all that is laid that stands on parts or on none: 1 when nothing is lost or counted twice. */
function accounted({ parts, segments }: ReturnType<typeof read>): number {
  const laid = segments.laid.reduce((sum, length) => sum + length, 0) * AREA;
  const onParts = parts!.parts.reduce((sum, part) => sum + part.volumeMm3, 0);
  return (onParts + parts!.unattachedMm3) / laid;
}

/** Broad at the foot and the head, half as wide between: a standing bar. */
const waisted = (k: number, x: number, y: number): string =>
  filled(k < 10 || k >= 40 ? [x, y, 20, 3.6] : [x + 5, y, 10, 3.6]);

/** Two feet, and from layer 10 a deck over both: a bar on edge, with support under the deck. */
function onEdge(k: number, under: { free: number; side: number }): string[] {
  const deck = 10;
  if (k >= deck) return [filled([20, 20, 80, 3.6])];
  const support: Box = [40 + under.side, 20, 40 - 2 * under.side, 3.6];
  return [
    filled([20, 20, 20, 3.6]),
    filled([80, 20, 20, 3.6]),
    ...(k < deck - under.free ? [filled(support, 1.8)] : []),
  ];
}

describe('parts through their layers', () => {
  it('a standing bar with a waist is one solid bar, as long and broad as it is from above', () => {
    const print = read(layers(50, (k) => [waisted(k, 20, 20)]));
    const [bar, ...others] = print.parts!.parts;
    expect(others).toEqual([]);
    expect(bar!.kind).toBe('bar');
    // By the closed area of its foot alone it would be (20 x 20 + 30 x 10)/(50 x 20) = 0.7.
    expect(bar!.solid).toBeGreaterThan(0.95);
    expect(bar!.solid).toBeLessThan(1.05);
    expect(bar!.longMm).toBeCloseTo(20.5, 0);
    expect(bar!.shortMm).toBeCloseTo(3.75, 0);
    expect(bar!.heightMm).toBeCloseTo(10, 9);
    expect(bar!.layers).toBe(50);
    expect(accounted(print)).toBeCloseTo(1, 5);
  });

  it('a bar on edge is one bar over its whole length, and its support one layer lower is another part', () => {
    const print = read(layers(30, (k) => onEdge(k, { free: 1, side: 0.7 })));
    const [bar, support, ...others] = print.parts!.parts.toSorted((a, b) => b.longMm - a.longMm);
    expect(others).toEqual([]);
    expect([bar!.kind, support!.kind]).toEqual(['bar', 'support']);
    expect(bar!.longMm).toBeCloseTo(80.5, 0);
    expect(bar!.heightMm).toBeCloseTo(6, 9);
    expect(support!.heightMm).toBeCloseTo(1.8, 9);
    expect(bar!.contacts).toHaveLength(2);
    // Its area is that of its two feet, its outline that of the deck.
    expect(bar!.areaMm2).toBeGreaterThan(2 * 20 * 3.5);
    expect(bar!.areaMm2).toBeLessThan(2 * 21 * 4.1);
    const xs = bar!.outlineMm.filter((_, k) => k % 2 === 0);
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(bar!.longMm, 9);
    // Volume of feet and deck, joins of the lines included.
    const laid = (lines: number, length: number) =>
      (lines * length + (lines - 1) * SPACING) * SPACING * LAYER;
    expect(bar!.volumeMm3).toBeCloseTo(20 * laid(8, 80) + 10 * 2 * laid(8, 20), 1);
    expect(accounted(print)).toBeCloseTo(1, 5);
  });

  it('both feet of a bar on edge are one pass over one part, from the first to the last bead', () => {
    const { parts, passes } = read(layers(30, (k) => onEdge(k, { free: 1, side: 0.7 })));
    const bar = parts!.parts.findIndex(({ longMm }) => longMm > 50);
    const rows = Array.from({ length: parts!.passes.count }, (_, k) => k).filter(
      (k) => parts!.passes.part[k] === bar,
    );
    expect(rows.map((k) => parts!.passes.pass[k])).toEqual(Array.from({ length: 30 }, (_, k) => k));
    for (const k of rows.slice(0, -1))
      expect(parts!.passes.returnS[k]).toBeCloseTo(
        passes.startS[parts!.passes.pass[k]! + 1]! - passes.startS[parts!.passes.pass[k]!]!,
        0,
      );
    // The support is laid last, after both feet.
    const support = parts!.passes.part.findIndex((part, k) => part !== bar && parts!.passes.pass[k] === 4);
    expect(parts!.passes.endS[rows[4]!]).toBeLessThanOrEqual(parts!.passes.startS[support]!);
  });

  it('support that touches what it carries hangs together with it', () => {
    const { parts } = read(layers(30, (k) => onEdge(k, { free: 0, side: 0.7 })));
    expect(parts!.parts).toHaveLength(1);
  });

  it('a touch of less than a few cells does not make two parts one', () => {
    const reach = (overlap: number) =>
      read(
        layers(16, (k) => [
          ...(k < 8 ? [filled([20, 20, 20, 3.6])] : []),
          // A single line in the air that ends over the edge of the block by its round end.
          ...(k >= 8 ? [filled([40.5 - overlap, 22, 20, 0.45])] : []),
        ]),
      ).parts!.parts.length;
    expect(reach(0.2)).toBe(2);
    expect(reach(2)).toBe(1);
  });

  it('standing bars printed one after another are bars, although height falls back', () => {
    const one = (x: number) => layers(50, (k) => [waisted(k, x, 20)]);
    const { parts, passes } = read([...one(20), ...one(60)]);
    expect(passes.count).toBe(100);
    expect(parts!.parts.map(({ kind, layers }) => [kind, layers])).toEqual([
      ['bar', 50],
      ['bar', 50],
    ]);
  });

  it('parts of other layer heights printed one after another hang together each by itself', () => {
    const low = layers(12, () => [filled([20, 20, 20, 3.6])]);
    const high = Array.from({ length: 8 }, (_, k) => [layerAt(k, 0.3), filled([60, 20, 20, 3.6])]).flat();
    const { parts } = read([...low, ...high]);
    expect(parts!.parts.map(({ heightMm }) => heightMm)).toEqual([
      expect.closeTo(2.4, 6),
      expect.closeTo(2.4, 6),
    ]);
  });

  it('support in layers of its own between those of a bar parts neither', () => {
    const lines: string[] = [];
    const steps = [
      ...Array.from({ length: 20 }, (_, k) => [(k + 1) * 0.2, filled([20, 20, 20, 3.6])] as const),
      ...Array.from({ length: 14 }, (_, k) => [(k + 1) * 0.28, filled([20, 30, 20, 3.6], 1.8)] as const),
    ].sort((a, b) => a[0] - b[0]);
    for (const [z, text] of steps) lines.push(`G1 Z${z.toFixed(3)} F600`, text);
    const { parts } = read(lines);
    expect(parts!.parts.map(({ kind }) => kind)).toEqual(['bar', 'support']);
  });

  it('a crumb in the air is no part, and is accounted for', () => {
    const block = filled([20, 20, 20, 3.6]);
    const print = read(layers(10, (k) => [block, ...(k === 6 ? [filled([60, 20, 5, 0.9])] : [])]));
    expect(print.parts!.parts).toHaveLength(1);
    expect(print.parts!.unattachedMm3).toBeGreaterThan(0.5);
    expect(accounted(print)).toBeCloseTo(1, 5);
  });

  it('what is drawn, told apart and joined is what the slow way finds (seed 20261125)', () => {
    const card = { ...trialCard, cellMm: 0.5 };
    const place = fc.integer({ min: 0, max: 24 }).map((n) => n / 2);
    const line = fc.tuple(place, place, place, place).filter(([a, b, c, d]) => a !== c || b !== d);
    const plate = fc.array(fc.array(line, { minLength: 1, maxLength: 5 }), { minLength: 3, maxLength: 7 });
    fc.assert(
      fc.property(plate, (levels) => {
        const text = levels.flatMap((lines, k) => [
          layerAt(k),
          ...lines.flatMap(([a, b, c, d]) => [
            `G0 X${a} Y${b} F9000`,
            `G1 X${c} Y${d} E${((Math.hypot(c - a, d - b) * SPACING * LAYER) / AREA).toFixed(8)} F3000`,
          ]),
        ]);
        const print = read(text, card);
        const slow = slowParts(levels, 0.5, SPACING + LAYER * (1 - Math.PI / 4));
        const found = print.parts!.parts.map((part, k) => {
          let length = 0;
          for (let row = 0; row < print.parts!.passes.count; row++)
            if (print.parts!.passes.part[row] === k && print.parts!.passes.pass[row]! >= 2)
              length += print.parts!.passes.volumeMm3[row]! / (SPACING * LAYER);
          const [a, b, c, d] = part.boxMm;
          return [length, (c - a) * (d - b), part.areaMm2].map((value) => Math.round(value * 100) / 100);
        });
        const byAll = (a: number[], b: number[]) => a[0]! - b[0]! || a[1]! - b[1]! || a[2]! - b[2]!;
        expect(found.sort(byAll)).toEqual(slow.sort(byAll));
      }),
      { seed: 20261125, numRuns: 150 },
    );
  });
});

type Line = readonly [number, number, number, number];

/** Length laid from the third level up, area of the box and area in the first own level of each part, cell by cell. */
function slowParts(levels: readonly (readonly Line[])[], cell: number, width: number): number[][] {
  const from = -4;
  const n = 40;
  const radius = Math.max(width / 2, 0.7072 * cell);
  type Figure = { level: number; cells: Set<number>; length: number; part: number };
  const figures: Figure[] = [];
  for (const [level, lines] of levels.entries()) {
    if (level < 2) continue;
    const set = new Set<number>();
    for (let k = 0; k < n * n; k++) {
      const x = from + ((k % n) + 0.5) * cell;
      const y = from + (Math.floor(k / n) + 0.5) * cell;
      if (lines.some((line) => distance(line, x, y) <= radius)) set.add(k);
    }
    const at = (x: number, y: number) => Math.floor((y - from) / cell) * n + Math.floor((x - from) / cell);
    while (set.size > 0) {
      const [seed] = set;
      const cells = new Set([seed!]);
      set.delete(seed!);
      for (const k of cells)
        for (const step of [-n - 1, -n, -n + 1, -1, 1, n - 1, n, n + 1])
          if (set.delete(k + step)) cells.add(k + step);
      let length = 0;
      for (const [a, b, c, d] of lines) if (cells.has(at(a, b))) length += Math.hypot(c - a, d - b);
      figures.push({ level, cells, length, part: figures.length });
    }
  }
  for (const upper of figures)
    for (const lower of figures) {
      if (lower.level !== upper.level - 1) continue;
      const both = [...upper.cells].filter((k) => lower.cells.has(k)).length;
      if (both === 0 || both < Math.min(4, Math.min(upper.cells.size, lower.cells.size) / 2)) continue;
      const [a, b] = [upper.part, lower.part];
      for (const figure of figures) if (figure.part === a) figure.part = b;
    }
  const result: number[][] = [];
  for (const part of new Set(figures.map((figure) => figure.part))) {
    const own = figures.filter((figure) => figure.part === part);
    const first = own[0]!.level;
    if (first > 2 && new Set(own.map(({ level }) => level)).size < 3) continue;
    const cells = own.flatMap((figure) => [...figure.cells]);
    const xs = cells.map((k) => k % n);
    const ys = cells.map((k) => Math.floor(k / n));
    const box =
      (Math.max(...xs) - Math.min(...xs) + 1) * (Math.max(...ys) - Math.min(...ys) + 1) * cell * cell;
    const foot = own.filter(({ level }) => level === first).reduce((sum, one) => sum + one.cells.size, 0);
    const length = own.reduce((sum, figure) => sum + figure.length, 0);
    result.push([length, box, foot * cell * cell].map((value) => Math.round(value * 100) / 100));
  }
  return result;
}

function distance([ax, ay, bx, by]: Line, x: number, y: number): number {
  const t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2);
  const at = Math.min(1, Math.max(0, t));
  return Math.hypot(x - ax - at * (bx - ax), y - ay - at * (by - ay));
}
