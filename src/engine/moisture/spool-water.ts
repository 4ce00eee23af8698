import { GAS_CONSTANT, MOLAR_MASS_WATER } from '../air/constants.ts';
import { saturationPressure } from '../air/saturation.ts';
import { vapourDiffusivityFromLn } from '../air/vapour.ts';
import { factorBanded, solveBanded } from '../numerics/banded.ts';
import { eliminateChain, resolveChain } from '../numerics/chain.ts';
import { desiccantBalance, desiccantSlope } from './desiccant.ts';
import { leakage, type Place, roomVapour } from './place.ts';
import { type Polymer, REFERENCE_TEMPERATURE } from './polymer.ts';
import type { Scratch } from './spool-state.ts';
import { joinShells } from './strand.ts';

/**
 * Water of the spool and its box, one implicit step by Newton's method; unknowns are the vapour pressures of all cells
 * and of the box [moisture-12]:
 *
 *   cell: eps V M/(R T)/dt (p - p_old) + sum k_v S (p - p_nb) + k_box (p - p_a) + m_p q(p) + condensation = 0
 *   box:  V M/(R T_a)/dt (p_a - p_a,old) + (leak + walls)(p_a - p_room) + sum k_box (p_a - p) + desiccant + condensation = 0
 *
 * with k_v = D_e M/(R T) at faces as harmonic mean. A strand is eliminated exactly: its water after the step is
 * A + B c_s for any surface value c_s = f(p s/psat), so that q = G ((1 - B_N) c_s - A_N).
 *
 * Air that warms expands and leaves with its vapour: the stores are written with (p - p_old) at the new temperature,
 * and the balance counts what was pushed out. Pores and box walls hold liquid water from 99.9 % of saturation on, so
 * that no humidity passes 1 and none is lost.
 */

/** Newton stops when no cell is off by more than this in one step [kg], or by the rounding of what flows through. */
const OFF_BY_MOST = 1e-12;
const ROUNDING = 4 * 2.220446049250313e-16;
/** Steps from a start within a factor of four take 3 to 6; a limit for the case of a fault. */
const NEWTON_MOST = 100;
/** No iterate leaves a quarter to four times the one before: the isotherm is far from straight. */
const LEAP = 4;
/** From zero the leap starts at this share of saturation. */
const LEAP_FROM = 1e-3;
/** The last thousandth of saturation stands for liquid water: so much by m3 of pores, and in the whole box [kg]. */
const LIQUID_FROM = 0.999;
/** Ten times what pores hold, and a ton on the walls: the end of the range is never met. */
const LIQUID_IN_PORES = 10_000;
const LIQUID_IN_BOX = 1000;
/** At the kink of the isotherm itself its steep side counts; rounding of an activity of 1 is less than this. */
const AT_KINK = 1 + 1e-12;
/** Lewis: film for vapour from the film for heat, h_m = 0.9 h/(rho cp) with air of 1.2 kg/m3 and 1005 J/(kg K). */
const LEWIS = 0.9 / (1.2 * 1005);

const M_OVER_R = MOLAR_MASS_WATER / GAS_CONSTANT;

/** What crossed the borders in a step [kg]: out through leaks and walls, pushed out by warming, taken by desiccant. */
export type WaterFlows = { leaked: number; expelled: number; taken: number };

/** Vapour in the box when it is closed over the spool: room air. */
export function enterWater(s: Scratch, place: Place): void {
  s.box.temperature = place.airStart ?? place.surroundings;
  s.box.vapour = Math.min(
    place.vapourStart ?? roomVapour(place),
    LIQUID_FROM * saturationPressure(s.box.temperature),
  );
  s.box.liquid = 0;
  s.box.desiccant = place.desiccant?.start ?? 0;
}

/** Vapour and liquid in pores and box [kg]. */
export function vapourHeld(s: Scratch, place: Place): number {
  const { temperature, vapour, liquid } = s.state;
  let held = (place.volume * M_OVER_R * s.box.vapour) / s.box.temperature + s.box.liquid;
  for (let c = 0; c < s.cells; c++)
    held += (s.porosity * s.volume[c]! * M_OVER_R * vapour[c]!) / temperature[c]! + liquid[c]!;
  return held;
}

/** Water in the polymer [kg]. */
export function waterHeld(s: Scratch): number {
  let held = 0;
  for (let c = 0; c < s.cells; c++) held += s.polymerMass[c]! * s.state.mean[c]!;
  return held;
}

/**
 * One step of `dt` at the temperatures that the heat step has left; `before` holds those at its start, box last.
 * Adds to `flows`.
 * @throws Error where Newton's method does not arrive, with the numbers
 */
export function stepWater(
  s: Scratch,
  polymer: Polymer,
  place: Place,
  before: Float64Array,
  dt: number,
  flows: WaterFlows,
): void {
  prepareCells(s, polymer, place, before, dt, flows);
  prepareConductances(s, place);
  const pressure = newton(s, polymer, place, dt, flows);
  settle(s, pressure, dt);
}

/** By cell: pore store, saturation, conductivity for vapour, and the strand eliminated down to its surface. */
function prepareCells(
  s: Scratch,
  polymer: Polymer,
  place: Place,
  before: Float64Array,
  dt: number,
  flows: WaterFlows,
): void {
  const { cells, state, shells, law, joint } = s;
  const { temperature, vapour, activity, water, surface } = state;
  const excess = polymer.excessHeat / GAS_CONSTANT;
  const count = shells.count;
  const poreM = s.porosity * M_OVER_R;
  let expelled = 0;
  for (let c = 0; c < cells; c++) {
    const t = temperature[c]!;
    const ln = Math.log(t);
    const saturation = saturationPressure(t, ln);
    const scale = Math.exp(excess * (1 / t - 1 / REFERENCE_TEMPERATURE)) / saturation;
    // Water stays where it is when a cell warms: the first guess keeps the activity at the strand's surface.
    s.guessWide[c + s.width] = Math.min(activity[c]! / scale, saturation);
    s.saturation[c] = saturation;
    s.humidityScale[c] = scale;
    s.poreConductance[c] = (s.poreShare * vapourDiffusivityFromLn(ln) * M_OVER_R) / t;
    const store = poreM * s.volume[c]!;
    s.pore[c] = store / (t * dt);
    expelled += store * vapour[c]! * (1 / before[c]! - 1 / t);
    joinShells(law, shells, t, water, c * count, surface[c]!, dt, joint);
    eliminateChain(count, shells.share, joint, water, s.carryShell, s.knownShell, c * count);
    const last = c * count + count - 1;
    const end = (s.polymerMass[c]! * joint[count - 1]!) / dt;
    s.entry[c] = end * (1 - s.carryShell[last]!);
    s.entryKnown[c] = end * s.knownShell[last]!;
  }
  const box = s.box;
  expelled += place.volume * M_OVER_R * box.vapour * (1 / before[cells]! - 1 / box.temperature);
  flows.expelled += expelled;
}

/** Conductances between cells and to the box, and the part of the diagonal that does not change with p. */
function prepareConductances(s: Scratch, place: Place): void {
  const { cells, width, poreConductance: k, innerWide, acrossWide, diagonal, toBox, known } = s;
  const { vapour } = s.state;
  const film = ((LEWIS * place.film) / s.box.temperature) * M_OVER_R;
  const bottomOpen = place.mode !== 'bed';
  for (let c = 0; c < cells; c++) {
    const here = k[c]!;
    const inner = s.innerShape[c]!;
    const across = s.acrossShape[c]!;
    innerWide[c + width] = inner > 0 ? (inner * 2 * here * k[c + 1]!) / (here + k[c + 1]!) : 0;
    acrossWide[c + width] = across > 0 ? (across * 2 * here * k[c + width]!) / (here + k[c + width]!) : 0;
    const flange = s.flangeArea[c]! * s.flangePermeance;
    let out = 0;
    if (s.outerShape[c]! > 0) out += series(here * s.outerShape[c]!, film * s.outerArea[c]!);
    if (s.topShape[c]! > 0) out += series(here * s.topShape[c]!, flange);
    if (bottomOpen && s.bottomShape[c]! > 0) out += series(here * s.bottomShape[c]!, flange);
    toBox[c] = out;
  }
  for (let c = 0; c < cells; c++) {
    const w = c + width;
    const around = innerWide[w]! + innerWide[w - 1]! + acrossWide[w]! + acrossWide[c]!;
    diagonal[c] = s.pore[c]! + around + toBox[c]!;
    // What does not change with p: old vapour in the pores, and the strand's own water at a dry surface.
    known[c] = s.pore[c]! * vapour[c]! + s.entryKnown[c]!;
  }
}

function series(a: number, b: number): number {
  return a > 0 && b > 0 ? (a * b) / (a + b) : 0;
}

/** Solves for all pressures; leaves them in `guessWide`, surfaces in the state, and gives that of the box. */
function newton(s: Scratch, polymer: Polymer, place: Place, dt: number, flows: WaterFlows): number {
  const { cells, width, guessWide: p, innerWide, acrossWide, toBox, diagonal, known } = s;
  const { entry, humidityScale, saturation, jacobian, correction, boxResponse } = s;
  const { liquid, surface } = s.state;
  const stride = width + 1;
  const box = s.box;

  const { gabK, gabC } = polymer;
  const capacity = polymer.capacityFactor * polymer.monolayer * gabC;
  const liquidScale = (LIQUID_IN_PORES * s.porosity) / (1 - LIQUID_FROM);

  const room = roomVapour(place);
  const boxSaturation = saturationPressure(box.temperature);
  const boxStore = (place.volume * M_OVER_R) / box.temperature;
  const leak = leakage(place, box.temperature);
  const sorbent = place.desiccant;
  const uptake = sorbent ? (sorbent.mass * sorbent.rate) / (1 + sorbent.rate * dt) : 0;
  let boxFixed = boxStore / dt + leak;
  for (let c = 0; c < cells; c++) boxFixed += toBox[c]!;
  const boxLiquidSlope = LIQUID_IN_BOX / ((1 - LIQUID_FROM) * boxSaturation);

  let air = Math.min(box.vapour, boxSaturation);

  for (let iteration = 0; iteration < NEWTON_MOST; iteration++) {
    let worst = 0;
    let through = boxFixed * air;
    let boxLeft = through - (boxStore / dt) * box.vapour - leak * room;
    let boxSlope = boxFixed;
    for (let c = 0; c < cells; c++) {
      const at = c + width;
      const here = p[at]!;
      const activity = here * humidityScale[c]!;
      const x = gabK * Math.min(activity, 1);
      const u = 1 - x;
      const v = u + gabC * x;
      const uv = u * v;
      const balance = (capacity * x) / uv;
      surface[c] = balance;
      let slope = diagonal[c]!;
      const flow = slope * here;
      if (flow > through) through = flow;
      let left =
        flow -
        known[c]! -
        toBox[c]! * air -
        innerWide[at]! * p[at + 1]! -
        innerWide[at - 1]! * p[at - 1]! -
        acrossWide[at]! * p[at + width]! -
        acrossWide[c]! * p[c]! +
        entry[c]! * balance;
      if (activity < AT_KINK)
        slope +=
          (entry[c]! * capacity * gabK * humidityScale[c]! * (uv - x * (u * (gabC - 1) - v))) / (uv * uv);
      const over = here - LIQUID_FROM * saturation[c]!;
      if (over > 0 || liquid[c]! > 0) {
        const hold = (s.volume[c]! * liquidScale) / saturation[c]!;
        left += ((over > 0 ? hold * over : 0) - liquid[c]!) / dt;
        if (over > 0) slope += hold / dt;
      }
      const off = left < 0 ? -left : left;
      if (!(off <= worst)) worst = off;
      boxLeft -= toBox[c]! * here;
      const row = c * stride;
      jacobian[row] = slope;
      for (let k = 1; k <= width; k++) jacobian[row + k] = 0;
      jacobian[row + 1] = -innerWide[at - 1]!;
      jacobian[row + width]! -= acrossWide[c]!;
      correction[c] = -left;
      boxResponse[c] = toBox[c]!;
    }
    let taken = 0;
    if (sorbent) {
      const humidity = air / boxSaturation;
      taken = uptake * (desiccantBalance(sorbent.sorbent, humidity) - box.desiccant);
      boxLeft += taken;
      boxSlope += (uptake * desiccantSlope(sorbent.sorbent, Math.max(humidity, 1e-9))) / boxSaturation;
    }
    const over = air - LIQUID_FROM * boxSaturation;
    const boxLiquid = over > 0 ? boxLiquidSlope * over : 0;
    boxLeft += (boxLiquid - box.liquid) / dt;
    if (over > 0) {
      boxSlope += boxLiquidSlope / dt;
      through = Math.max(through, (boxLiquidSlope * air) / dt);
    }
    if (Math.abs(boxLeft) > worst) worst = Math.abs(boxLeft);

    if (worst * dt < OFF_BY_MOST + ROUNDING * through * dt) {
      flows.leaked += leak * (air - room) * dt;
      flows.taken += taken * dt;
      if (sorbent) box.desiccant += (taken * dt) / sorbent.mass;
      box.liquid = boxLiquid;
      return air;
    }

    factorBanded(jacobian, cells, width);
    solveBanded(jacobian, cells, width, correction);
    solveBanded(jacobian, cells, width, boxResponse);
    let boxRight = -boxLeft;
    for (let c = 0; c < cells; c++) {
      boxRight += toBox[c]! * correction[c]!;
      boxSlope -= toBox[c]! * boxResponse[c]!;
    }
    const change = boxRight / boxSlope;
    air = leap(air, air + change, boxSaturation);
    for (let c = 0; c < cells; c++) {
      const from = p[c + width]!;
      const to = leap(from, from + correction[c]! + boxResponse[c]! * change, saturation[c]!);
      // The isotherm is flat beyond an activity of 1: no step crosses that kink, or two of them go back and forth.
      const kink = 1 / humidityScale[c]!;
      p[c + width] = from < kink !== to < kink && from !== kink ? kink : to;
    }
  }
  throw new Error(
    `the water of the spool was not found in ${NEWTON_MOST} steps of Newton's method: box at ${box.temperature} K and ${air} Pa, dt ${dt} s`,
  );
}

function leap(from: number, to: number, saturation: number): number {
  const most = LEAP * Math.max(from, LEAP_FROM * saturation);
  const least = from / LEAP;
  const held = to < least ? least : Math.min(to, most);
  return Math.min(held, saturation);
}

/** Shells, means and evaporation from the pressures found. */
function settle(s: Scratch, air: number, dt: number): void {
  const { cells, width, shells, state } = s;
  const { vapour, activity, liquid, mean, surface, evaporation, water } = state;
  const liquidScale = (LIQUID_IN_PORES * s.porosity) / (1 - LIQUID_FROM);
  for (let c = 0; c < cells; c++) {
    const p = s.guessWide[c + width]!;
    vapour[c] = p;
    activity[c] = p * s.humidityScale[c]!;
    mean[c] = resolveChain(
      shells.count,
      shells.share,
      s.carryShell,
      s.knownShell,
      surface[c]!,
      water,
      c * shells.count,
    );
    const over = p - LIQUID_FROM * s.saturation[c]!;
    const held = over > 0 ? (over * s.volume[c]! * liquidScale) / s.saturation[c]! : 0;
    evaporation[c] = s.entryKnown[c]! - s.entry[c]! * surface[c]! - (held - liquid[c]!) / dt;
    liquid[c] = held;
  }
  s.box.vapour = air;
}
