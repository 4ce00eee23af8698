import { GAS_CONSTANT } from '../air/constants.ts';
import { bisect } from '../numerics/bisection.ts';

/**
 * Laws of water in a strand of polyamide with fibres along it: balance with moist air, glass transition, diffusion.
 *
 * `water` is always kg of water by kg of dry polymer (`c` in the formulas); the fibres take none. The share of water
 * in the whole wet strand, as people read it, is {@link strandShare}.
 */
export type Polymer = Readonly<{
  /** w_f: mass share of fibre in the dry strand. */
  fibreShare: number;
  /** rho_p, rho_f [kg/m3]. */
  polymerDensity: number;
  fibreDensity: number;
  /** cp of the strand [J/(kg K)]. */
  heatCapacity: number;
  /** cm: first layer of water [kg/kg]; gabC, gabK: constants C and K of the GAB isotherm. */
  monolayer: number;
  gabC: number;
  gabK: number;
  /** f_cap: factor on the whole isotherm, scatter of grades. */
  capacityFactor: number;
  /** dH: excess heat of sorption [J/mol]. */
  excessHeat: number;
  /** Tg_dry, Tg_wet [K], c_Tg [kg/kg], w_Tg [K]: glass transition dry and saturated, water that lowers it, width. */
  glassDry: number;
  glassWet: number;
  glassWater: number;
  glassWidth: number;
  /** D23 [m2/s] of the polymer at 23 C below the glass transition, Ea [J/mol], kap [1/K]: rise above it. */
  diffusivity: number;
  diffusionEnergy: number;
  riseAboveGlass: number;
}>;

/** Reference temperature of the laws [K]: 23 C, the standard atmosphere of plastics (ISO 291). */
export const REFERENCE_TEMPERATURE = 296.15;

/** phi_f = (w_f/rho_f)/(w_f/rho_f + wp/rho_p): volume share of fibre in the strand [moisture-1]. */
export function fibreVolumeShare(p: Polymer): number {
  const fibre = p.fibreShare / p.fibreDensity;
  return fibre / (fibre + (1 - p.fibreShare) / p.polymerDensity);
}

/** rho_s = 1/(w_f/rho_f + wp/rho_p): density of the dry strand [kg/m3] [moisture-1]. */
export function strandDensity(p: Polymer): number {
  return 1 / (p.fibreShare / p.fibreDensity + (1 - p.fibreShare) / p.polymerDensity);
}

/** Share of water in the wet strand, w = c wp/(1 + c wp) [moisture-2]. */
export function strandShare(water: number, fibreShare: number): number {
  const inStrand = water * (1 - fibreShare);
  return inStrand / (1 + inStrand);
}

/** Water of the polymer from the share in the wet strand, c = w/(wp (1 - w)): inverse of {@link strandShare}. */
export function waterOfShare(share: number, fibreShare: number): number {
  return share / ((1 - fibreShare) * (1 - share));
}

/** s(T) = exp[(dH/R)(1/T - 1/296.15)]: activity by relative humidity, shifted by the excess heat [moisture-3]. */
export function activityShift(p: Polymer, temperature: number): number {
  return Math.exp((p.excessHeat / GAS_CONSTANT) * (1 / temperature - 1 / REFERENCE_TEMPERATURE));
}

/**
 * Water at balance with an activity, GAB isotherm [moisture-3].
 *
 *   f(a) = f_cap cm C x/((1 - x)(1 - x + C x)),  x = K a,  a held to 0..1
 *
 * Source: form of Guggenheim, Anderson and de Boer; constants come from cards.
 */
export function balanceOfActivity(p: Polymer, activity: number): number {
  const x = p.gabK * Math.min(Math.max(activity, 0), 1);
  return (p.capacityFactor * p.monolayer * p.gabC * x) / ((1 - x) * (1 - x + p.gabC * x));
}

/** f'(a) of {@link balanceOfActivity} inside 0..1, in closed form [moisture-3]. */
export function balanceSlope(p: Polymer, activity: number): number {
  const x = p.gabK * Math.min(Math.max(activity, 0), 1);
  const u = 1 - x;
  const v = u + p.gabC * x;
  const top = u * v - x * (-v + u * (p.gabC - 1));
  return (p.capacityFactor * p.monolayer * p.gabC * p.gabK * top) / (u * v * (u * v));
}

/** Water at balance with air of this temperature and relative humidity [kg/kg] [moisture-3]. */
export function balanceWater(p: Polymer, temperature: number, humidity: number): number {
  return balanceOfActivity(p, humidity * activityShift(p, temperature));
}

/**
 * Relative humidity with which this water is at balance, by 60 halvings over activities 0..1 [moisture-3].
 * Water beyond balance with an activity of 1 gives that of activity 1, which can lie above 1 when warm.
 */
export function balanceHumidity(p: Polymer, temperature: number, water: number): number {
  const shift = activityShift(p, temperature);
  if (water <= 0) return 0;
  if (water >= balanceOfActivity(p, 1)) return 1 / shift;
  return bisect((activity) => balanceOfActivity(p, activity) - water, 0, 1) / shift;
}

/** Tg(c) = Tg_wet + (Tg_dry - Tg_wet) exp(-c/c_Tg) [K] [moisture-4]. */
export function glassTransition(p: Polymer, water: number): number {
  return p.glassWet + (p.glassDry - p.glassWet) * Math.exp(-water / p.glassWater);
}

/** ln(1 + exp(x)) without overflow. */
function softplus(x: number): number {
  return x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x));
}

/**
 * Diffusivity of water across the strand [m2/s] [moisture-5].
 *
 *   D(T,c) = D23 exp[-(Ea/R)(1/T - 1/296.15)] exp[kap w_Tg ln(1 + exp((T - Tg(c))/w_Tg))]/(1 + phi_f)
 *
 * Below Tg Arrhenius without dependence on c, above it rising with T - Tg (shape after Arhant et al. 2016 and Broudin
 * et al. 2015, abstracts seen). 1/(1 + phi_f): fibres along the strand are impermeable cylinders (Rayleigh 1892).
 */
export function diffusivity(p: Polymer, temperature: number, water: number): number {
  const arrhenius = -(p.diffusionEnergy / GAS_CONSTANT) * (1 / temperature - 1 / REFERENCE_TEMPERATURE);
  const above = (temperature - glassTransition(p, water)) / p.glassWidth;
  const rise = p.riseAboveGlass * p.glassWidth * softplus(above);
  return (p.diffusivity * Math.exp(arrhenius + rise)) / (1 + fibreVolumeShare(p));
}
