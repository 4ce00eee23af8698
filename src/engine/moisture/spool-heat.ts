import { factorBanded, solveBanded } from '../numerics/banded.ts';
import type { BedPlace, Place } from './place.ts';
import type { Scratch } from './spool-state.ts';

/**
 * Heat of the spool and its box, one linear implicit step [moisture-11]:
 *
 *   C dT/dt = sum k S (T_nb - T) + faces - E L,   C = phi rho_s V cp,  E evaporation of the step before
 *
 * On a bed the box air is one more unknown: C_cov dT_a/dt = h_bed A_bed (T_bed - T_a) - U_cov A_cov (T_a - T_amb) -
 * heat to the spool. All conductances stay the same in one place, so the matrix is factored once for a length of step.
 */

/** Conductances of the faces of this place. Half of the hub sees the bed, half the air, where there is a bed. */
export function enterHeat(s: Scratch, place: Place): void {
  const k = s.conductivity;
  const bed = place.mode === 'bed';
  const flange = s.flangeResistance + 1 / place.film;
  const lower = bed ? s.flangeResistance + 1 / place.contact : flange;
  const hub = s.flangeResistance + 1 / place.hubFilm;
  for (let c = 0; c < s.cells; c++) {
    const hubTotal = series(k * s.hubShape[c]!, s.hubArea[c]! / hub);
    const bottom = series(k * s.bottomShape[c]!, s.flangeArea[c]! / lower);
    let toAir = series(k * s.outerShape[c]!, s.outerArea[c]! * place.film);
    toAir += series(k * s.topShape[c]!, s.flangeArea[c]! / flange);
    s.toAir[c] = toAir + (bed ? 0.5 * hubTotal : hubTotal + bottom);
    s.toBed[c] = bed ? 0.5 * hubTotal + bottom : 0;
    const inside =
      s.innerShape[c]! +
      s.acrossShape[c]! +
      (c >= 1 ? s.innerShape[c - 1]! : 0) +
      (c >= s.width ? s.acrossShape[c - s.width]! : 0);
    s.heatDiagonal[c] = k * inside + s.toAir[c]! + s.toBed[c]!;
  }
  s.heatStep = 0;
}

function series(a: number, b: number): number {
  return a > 0 && b > 0 ? 1 / (1 / a + 1 / b) : 0;
}

/** Factors the matrix for steps of `dt`; on a bed also the response of all cells to the box air. */
function factorHeat(s: Scratch, place: Place, dt: number): void {
  const { cells, width, heatFactor: band, conductivity } = s;
  const stride = width + 1;
  band.fill(0);
  for (let c = 0; c < cells; c++) {
    band[c * stride] = s.heatDiagonal[c]! + s.heat[c]! / dt;
    if (c >= 1) band[c * stride + 1] = -conductivity * s.innerShape[c - 1]!;
    if (c >= width) band[c * stride + width]! -= conductivity * s.acrossShape[c - width]!;
  }
  factorBanded(band, cells, width);
  if (place.mode === 'bed') {
    s.heatResponse.set(s.toAir);
    solveBanded(band, cells, width, s.heatResponse);
    let pivot = place.wallHeat / dt + place.bedFilm * place.bedArea + place.wallLoss * place.wallArea;
    for (let c = 0; c < cells; c++) pivot += s.toAir[c]! * (1 - s.heatResponse[c]!);
    s.heatPivot = pivot;
  }
  s.heatStep = dt;
}

/**
 * One step to the time `until` after the box was entered. Gives the heat that came in [J], from bed, box air that is
 * given, or through the cover.
 */
export function stepHeat(s: Scratch, place: Place, until: number, dt: number): number {
  if (s.heatStep !== dt) factorHeat(s, place, dt);
  const { cells, heatAnswer: answer, toAir, toBed } = s;
  const { temperature, evaporation } = s.state;
  const bedTemperature = place.mode === 'bed' ? bedAt(place, until) : 0;
  const airTemperature =
    place.mode === 'air'
      ? Math.min(place.airTemperature, (place.airStart ?? place.surroundings) + place.airRamp * until)
      : 0;
  for (let c = 0; c < cells; c++)
    answer[c] =
      (s.heat[c]! / dt) * temperature[c]! +
      toBed[c]! * bedTemperature +
      toAir[c]! * airTemperature -
      evaporation[c]! * s.drying;
  solveBanded(s.heatFactor, cells, s.width, answer);

  let incoming = 0;
  if (place.mode === 'bed') {
    const bedSide = place.bedFilm * place.bedArea;
    const wallSide = place.wallLoss * place.wallArea;
    let known =
      (place.wallHeat / dt) * s.box.temperature + bedSide * bedTemperature + wallSide * place.surroundings;
    for (let c = 0; c < cells; c++) known += toAir[c]! * answer[c]!;
    const air = known / s.heatPivot;
    s.box.temperature = air;
    incoming = bedSide * (bedTemperature - air) + wallSide * (place.surroundings - air);
    for (let c = 0; c < cells; c++) {
      const t = answer[c]! + s.heatResponse[c]! * air;
      temperature[c] = t;
      incoming += toBed[c]! * (bedTemperature - t);
    }
  } else {
    s.box.temperature = airTemperature;
    for (let c = 0; c < cells; c++) {
      const t = answer[c]!;
      temperature[c] = t;
      incoming += toAir[c]! * (airTemperature - t);
    }
  }
  return incoming * dt;
}

function bedAt(place: BedPlace, time: number): number {
  return Math.min(place.bedTemperature, place.bedStart + place.bedRamp * time);
}

/** Heat held by the spool, and on a bed by the cover, above 0 K [J]. */
export function heatHeld(s: Scratch, place: Place): number {
  let held = place.mode === 'bed' ? place.wallHeat * s.box.temperature : 0;
  for (let c = 0; c < s.cells; c++) held += s.heat[c]! * s.state.temperature[c]!;
  return held;
}
