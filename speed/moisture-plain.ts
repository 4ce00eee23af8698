import { GAS_CONSTANT, MOLAR_MASS_WATER } from '../src/engine/air/constants.ts';
import { saturationPressure } from '../src/engine/air/saturation.ts';
import { vapourDiffusivity } from '../src/engine/air/vapour.ts';
import { type BedPlace, leakage, roomVapour } from '../src/engine/moisture/place.ts';
import {
  activityShift,
  balanceHumidity,
  balanceOfActivity,
  balanceSlope,
  diffusivity,
  strandDensity,
} from '../src/engine/moisture/polymer.ts';
import type { Spool } from '../src/engine/moisture/spool.ts';
import { makeShells } from '../src/engine/moisture/strand.ts';
import { heatOfDrying, packConductivity, poreShare } from '../src/engine/moisture/winding.ts';

/**
 * The spool on a bed written straight from its equations, without any of the engine's solvers: lists of lists, full
 * matrices, every law called where it is needed. The yardstick of the fast solver, for its numbers and for its speed.
 */

/** Gaussian elimination with pivoting on the full matrix. */
function solve(matrix: number[][], right: number[]): number[] {
  const n = right.length;
  const a = matrix.map((row, i) => [...row, right[i]!]);
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(a[i]![k]!) > Math.abs(a[best]![k]!)) best = i;
    [a[k], a[best]] = [a[best]!, a[k]!];
    for (let i = k + 1; i < n; i++) {
      const factor = a[i]![k]! / a[k]![k]!;
      if (factor === 0) continue;
      for (let j = k; j <= n; j++) a[i]![j]! -= factor * a[k]![j]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = a[i]![n]!;
    for (let j = i + 1; j < n; j++) sum -= a[i]![j]! * x[j]!;
    x[i] = sum / a[i]![i]!;
  }
  return x;
}

/** Thomas's algorithm for one right-hand side. */
function solveTridiagonal(lower: number[], diagonal: number[], upper: number[], right: number[]): number[] {
  const n = right.length;
  const d = [...diagonal];
  const x = [...right];
  for (let i = 1; i < n; i++) {
    const factor = lower[i]! / d[i - 1]!;
    d[i]! -= factor * upper[i - 1]!;
    x[i]! -= factor * x[i - 1]!;
  }
  x[n - 1]! /= d[n - 1]!;
  for (let i = n - 2; i >= 0; i--) x[i] = (x[i]! - upper[i]! * x[i + 1]!) / d[i]!;
  return x;
}

type Cell = {
  ring: number;
  layer: number;
  temperature: number;
  vapour: number;
  shells: number[];
  surface: number;
  evaporation: number;
};

/** Mean water of the polymer [kg/kg], mean temperature and air temperature [K] after `steps` steps of `dt`. */
export function dryPlainly(
  spool: Spool,
  place: BedPlace,
  rings: number,
  layers: number,
  shellCount: number,
  dt: number,
  steps: number,
): { water: number; temperature: number; air: number } {
  const { polymer, winding: w } = spool;
  const density = strandDensity(polymer);
  const deep = (w.outerRadius - w.innerRadius) / rings;
  const high = w.width / layers;
  const middle = (ring: number) => w.innerRadius + deep * (ring + 0.5);
  const area = (ring: number) =>
    Math.PI * ((w.innerRadius + deep * (ring + 1)) ** 2 - (w.innerRadius + deep * ring) ** 2);
  const shells = makeShells('cylinder', w.strandDiameter / 2, shellCount);
  const start =
    balanceHumidity(polymer, spool.temperature, spool.water) * saturationPressure(spool.temperature);
  const cells: Cell[] = [];
  for (let ring = 0; ring < rings; ring++)
    for (let layer = 0; layer < layers; layer++)
      cells.push({
        ring,
        layer,
        temperature: spool.temperature,
        vapour: start,
        shells: new Array<number>(shellCount).fill(spool.water),
        surface: spool.water,
        evaporation: 0,
      });
  const n = cells.length;
  let air = place.surroundings;
  let airVapour = roomVapour(place);
  const k = packConductivity(w);
  const mass = (c: Cell) => w.solidShare * density * area(c.ring) * high;
  const inSeries = (...resistances: number[]) => 1 / resistances.reduce((a, b) => a + b, 0);
  const flangeResistance = w.flangeThickness / w.flangeConductivity;
  const between = (a: Cell, b: Cell) =>
    a.layer === b.layer
      ? Math.abs(a.ring - b.ring) === 1
        ? (2 * Math.PI * high) / Math.abs(Math.log(middle(a.ring) / middle(b.ring)))
        : 0
      : a.ring === b.ring && Math.abs(a.layer - b.layer) === 1
        ? area(a.ring) / high
        : 0;

  for (let step = 1; step <= steps; step++) {
    // Heat: all cells and the box air in one full matrix.
    const heat = Array.from({ length: n + 1 }, () => new Array<number>(n + 1).fill(0));
    const supply = new Array<number>(n + 1).fill(0);
    const bed = Math.min(place.bedTemperature, place.bedStart + place.bedRamp * step * dt);
    const join = (i: number, j: number, g: number) => {
      heat[i]![i]! += g;
      heat[i]![j]! -= g;
    };
    const fix = (i: number, g: number, value: number) => {
      heat[i]![i]! += g;
      supply[i]! += g * value;
    };
    cells.forEach((c, i) => {
      fix(i, (mass(c) * polymer.heatCapacity) / dt, c.temperature);
      supply[i]! -= c.evaporation * heatOfDrying(polymer);
      cells.forEach((other, j) => {
        const shape = between(c, other);
        if (shape > 0) join(i, j, k * shape);
      });
      const face = 2 * Math.PI * high;
      if (c.ring === rings - 1) {
        const g = inSeries(
          Math.log(w.outerRadius / middle(c.ring)) / (face * k),
          1 / (place.film * face * w.outerRadius),
        );
        join(i, n, g);
        join(n, i, g);
      }
      if (c.layer === layers - 1) {
        const g = area(c.ring) / (high / (2 * k) + flangeResistance + 1 / place.film);
        join(i, n, g);
        join(n, i, g);
      }
      if (c.layer === 0) fix(i, area(c.ring) / (high / (2 * k) + flangeResistance + 1 / place.contact), bed);
      if (c.ring === 0) {
        const g = inSeries(
          Math.log(middle(0) / w.innerRadius) / (face * k),
          (flangeResistance + 1 / place.hubFilm) / (face * w.innerRadius),
        );
        fix(i, g / 2, bed);
        join(i, n, g / 2);
        join(n, i, g / 2);
      }
    });
    fix(n, place.wallHeat / dt, air);
    fix(n, place.bedFilm * place.bedArea, bed);
    fix(n, place.wallLoss * place.wallArea, place.surroundings);
    const temperatures = solve(heat, supply);
    cells.forEach((c, i) => {
      c.temperature = temperatures[i]!;
    });
    air = temperatures[n]!;

    // Strands: A and B by two right-hand sides of one tridiagonal system each.
    const strands = cells.map((c) => {
      const d = c.shells.map((water) => diffusivity(polymer, c.temperature, water));
      const surface = diffusivity(polymer, c.temperature, c.surface);
      const g = d.map((here, i) =>
        i < shellCount - 1
          ? ((2 * here * d[i + 1]!) / (here + d[i + 1]!)) * shells.reach[i]!
          : ((here + surface) / 2) * shells.reach[i]!,
      );
      const lower = g.map((_, i) => (i > 0 ? -dt * g[i - 1]! : 0));
      const upper = g.map((value, i) => (i < shellCount - 1 ? -dt * value : 0));
      const diagonal = g.map((value, i) => shells.share[i]! + dt * value + (i > 0 ? dt * g[i - 1]! : 0));
      const a = solveTridiagonal(
        lower,
        diagonal,
        upper,
        c.shells.map((water, i) => shells.share[i]! * water),
      );
      const b = solveTridiagonal(
        lower,
        diagonal,
        upper,
        g.map((value, i) => (i === shellCount - 1 ? dt * value : 0)),
      );
      return { a, b, g: g[shellCount - 1]! };
    });

    // Water: Newton on all vapour pressures and that of the box, full Jacobian.
    const perPascal = (T: number) => MOLAR_MASS_WATER / (GAS_CONSTANT * T);
    const conductivity = cells.map(
      (c) => poreShare(w) * vapourDiffusivity(c.temperature) * perPascal(c.temperature),
    );
    const film = ((0.9 * place.film) / (1.2 * 1005)) * perPascal(air);
    const toBox = cells.map((c, i) => {
      const face = 2 * Math.PI * high;
      let g = 0;
      if (c.ring === rings - 1)
        g += inSeries(
          Math.log(w.outerRadius / middle(c.ring)) / (face * conductivity[i]!),
          1 / (film * face * w.outerRadius),
        );
      if (c.layer === layers - 1) g += area(c.ring) / (high / (2 * conductivity[i]!) + 1 / w.flangePermeance);
      return g;
    });
    const p = cells.map((c) => c.vapour);
    let box = airVapour;
    const boxStore = place.volume * perPascal(air);
    const leak = leakage(place, air);
    for (let iteration = 0; iteration < 60; iteration++) {
      const jacobian = Array.from({ length: n + 1 }, () => new Array<number>(n + 1).fill(0));
      const left = new Array<number>(n + 1).fill(0);
      cells.forEach((c, i) => {
        const pores = ((1 - w.solidShare) * area(c.ring) * high * perPascal(c.temperature)) / dt;
        left[i]! += pores * (p[i]! - c.vapour);
        jacobian[i]![i]! += pores;
        cells.forEach((other, j) => {
          const shape = between(c, other);
          if (shape === 0) return;
          const g = (shape * 2 * conductivity[i]! * conductivity[j]!) / (conductivity[i]! + conductivity[j]!);
          left[i]! += g * (p[i]! - p[j]!);
          jacobian[i]![i]! += g;
          jacobian[i]![j]! -= g;
        });
        left[i]! += toBox[i]! * (p[i]! - box);
        jacobian[i]![i]! += toBox[i]!;
        jacobian[i]![n]! -= toBox[i]!;
        left[n]! += toBox[i]! * (box - p[i]!);
        jacobian[n]![n]! += toBox[i]!;
        jacobian[n]![i]! -= toBox[i]!;
        const scale = activityShift(polymer, c.temperature) / saturationPressure(c.temperature);
        const { a, b, g } = strands[i]!;
        const m = mass(c) * (1 - polymer.fibreShare);
        const surface = balanceOfActivity(polymer, p[i]! * scale);
        left[i]! += m * g * ((1 - b[shellCount - 1]!) * surface - a[shellCount - 1]!);
        jacobian[i]![i]! += m * g * (1 - b[shellCount - 1]!) * balanceSlope(polymer, p[i]! * scale) * scale;
      });
      left[n]! += (boxStore / dt) * (box - airVapour) + leak * (box - roomVapour(place));
      jacobian[n]![n]! += boxStore / dt + leak;
      if (Math.max(...left.map(Math.abs)) * dt < 1e-12) break;
      const change = solve(jacobian, left);
      cells.forEach((_, i) => {
        p[i] = Math.min(Math.max(p[i]! - change[i]!, p[i]! / 4), 4 * p[i]!);
      });
      box = Math.min(Math.max(box - change[n]!, box / 4), 4 * box);
    }
    airVapour = box;
    cells.forEach((c, i) => {
      const { a, b, g } = strands[i]!;
      c.vapour = p[i]!;
      c.surface = balanceOfActivity(
        polymer,
        (p[i]! * activityShift(polymer, c.temperature)) / saturationPressure(c.temperature),
      );
      c.shells = a.map((value, s) => value + b[s]! * c.surface);
      c.evaporation = -mass(c) * (1 - polymer.fibreShare) * g * (c.surface - c.shells[shellCount - 1]!);
    });
  }
  const total = cells.reduce((sum, c) => sum + mass(c), 0);
  const mean = (c: Cell) => c.shells.reduce((sum, water, i) => sum + shells.share[i]! * water, 0);
  return {
    water: cells.reduce((sum, c) => sum + mass(c) * mean(c), 0) / total,
    temperature: cells.reduce((sum, c) => sum + c.temperature, 0) / n,
    air,
  };
}
