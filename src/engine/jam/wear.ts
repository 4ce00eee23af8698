/**
 * Growth of a nozzle's hole by fibres: D(M) = D0 + w (phi/phi_ref) M.     [jam-4]
 *
 * @param perKg growth at the reference share of fibres [m/kg]
 * @param share volume share of fibres over the reference one
 */
export function boreAfter(bore: number, perKg: number, share: number, kg: number): number {
  return bore + perKg * share * kg;
}

/** Strand until the hole has grown by a factor [kg]; Infinity where nothing wears it. */
export function kgToRetire(bore: number, perKg: number, share: number, factor: number): number {
  const growth = perKg * share;
  return growth > 0 ? ((factor - 1) * bore) / growth : Infinity;
}

/** Pressure at the same flow over that of the new hole, (D0/D)^(3 n + 1), n the local exponent of the melt.     [jam-4] */
export function pressureRatio(bore: number, worn: number, exponent: number): number {
  return (bore / worn) ** (3 * exponent + 1);
}

/** Way that melt slides along the wall of a hole for each kg [m/kg]. */
export function slidPerKg(bore: number, density: number): number {
  return 1 / (density * (Math.PI / 4) * bore * bore);
}
