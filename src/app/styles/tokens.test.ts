// biome-ignore lint/style/noRestrictedImports: the test reads a file; the page itself never does
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/**
 * Contrasts recomputed from the CSS itself. Formula: WCAG 2.2, relative luminance and contrast ratio (success criteria
 * 1.4.3 for text, 4.5:1, and 1.4.11 for marks and borders of controls, 3:1).
 */

const CSS = readFileSync(`${import.meta.dirname}/tokens.css`, 'utf8');

type Theme = 'light' | 'dark';
const TOKENS = new Map(
  [...CSS.matchAll(/--([a-z0-9-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)/g)].map(
    ([, name, light, dark]) => [name!, { light: light!, dark: dark! }] as const,
  ),
);

function colour(token: string, theme: Theme): readonly [number, number, number] {
  const hex = TOKENS.get(token)?.[theme];
  if (!hex) throw new Error(`no token ${token}`);
  return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255) as [number, number, number];
}

const linear = (share: number) => (share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4);

function luminance(rgb: readonly number[]): number {
  const [r, g, b] = rgb.map(linear) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string, theme: Theme): number {
  const [low, high] = [luminance(colour(a, theme)), luminance(colour(b, theme))].sort((x, y) => x - y);
  return (high! + 0.05) / (low! + 0.05);
}

/** Every pair of text and ground that the pages use. */
const TEXT: readonly (readonly [string, readonly string[]])[] = [
  ['ink', ['ground', 'sheet', 'sink', 'fails-wash']],
  ['ink2', ['ground', 'sheet', 'sink', 'fails-wash']],
  ['ink3', ['ground', 'sheet']],
  ['fails', ['ground', 'sheet', 'fails-wash']],
  ['caution-ink', ['caution']],
  ['act-ink', ['act']],
  ['ground', ['ink']],
  ['print-ink', ['print']],
];
/** Marks, borders of controls, the focus ring. */
const MARKS: readonly (readonly [string, readonly string[]])[] = [
  ['holds', ['ground', 'sheet', 'fails-wash']],
  ['fails', ['ground', 'sheet', 'fails-wash']],
  ['rule2', ['sheet']],
  ['rule2-wash', ['sheet', 'fails-wash']],
  ['bar', ['ground', 'sheet', 'fails-wash']],
  ['caution-edge', ['caution']],
  ['focus', ['ground', 'sheet', 'sink', 'fails-wash', 'caution']],
  ['print', ['sheet', 'fails-wash']],
  ['g-flat', ['sheet', 'sink']],
  ['g-edge', ['sheet', 'sink']],
  ['g-up', ['sheet', 'sink']],
];

const THEMES: readonly Theme[] = ['light', 'dark'];
const pairs = (list: typeof TEXT) =>
  THEMES.flatMap((theme) => list.flatMap(([a, grounds]) => grounds.map((b) => ({ a, b, theme }))));

describe('the tokens', () => {
  it('knows the two ends of the formula: black on white is 21, a colour on itself 1', () => {
    expect((luminance([1, 1, 1]) + 0.05) / (luminance([0, 0, 0]) + 0.05)).toBeCloseTo(21, 6);
    expect(contrast('ink', 'ink', 'light')).toBeCloseTo(1, 12);
  });

  it.each(pairs(TEXT))('text $a on $b is read in the $theme theme, 4.5:1', ({ a, b, theme }) => {
    expect(contrast(a, b, theme)).toBeGreaterThanOrEqual(4.5);
  });

  it.each(pairs(MARKS))('mark $a on $b is seen in the $theme theme, 3:1', ({ a, b, theme }) => {
    expect(contrast(a, b, theme)).toBeGreaterThanOrEqual(3);
  });

  it.each(THEMES)('what holds and what fails stay apart for the three kinds of dichromacy, %s', (theme) => {
    for (const kind of Object.keys(DICHROMACY) as (keyof typeof DICHROMACY)[])
      expect(
        labDistance(seen(colour('holds', theme), kind), seen(colour('fails', theme), kind)),
      ).toBeGreaterThan(65);
  });

  it('gives every colour of a screen a colour of the system under forced colours', () => {
    const forced = CSS.slice(CSS.indexOf('forced-colors'));
    for (const name of TOKENS.keys()) expect(forced).toContain(`--${name}:`);
  });
});

/** Machado, Oliveira and Fernandes 2009, severity 1.0, on linear RGB (from memory). */
const DICHROMACY = {
  protanopia: [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998],
  deuteranopia: [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.01182, 0.04294, 0.968881],
  tritanopia: [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.3039],
} as const;

/** Linear RGB as a person with that dichromacy sees it. */
function seen(rgb: readonly number[], kind: keyof typeof DICHROMACY): number[] {
  const m = DICHROMACY[kind];
  const [r, g, b] = rgb.map(linear) as [number, number, number];
  return [0, 3, 6].map((row) => Math.min(Math.max(m[row]! * r + m[row + 1]! * g + m[row + 2]! * b, 0), 1));
}

/** Distance in CIE 1976 L*a*b* of two linear sRGB colours, white D65. */
function labDistance(a: readonly number[], b: readonly number[]): number {
  const lab = (rgb: readonly number[]) => {
    const [r, g, bl] = rgb as [number, number, number];
    const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
    const x = f((0.4124 * r + 0.3576 * g + 0.1805 * bl) / 0.9505);
    const y = f(0.2126 * r + 0.7152 * g + 0.0722 * bl);
    const z = f((0.0193 * r + 0.1192 * g + 0.9505 * bl) / 1.089);
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
  };
  const [p, q] = [lab(a), lab(b)];
  return Math.hypot(...p.map((value, i) => value - q[i]!));
}
