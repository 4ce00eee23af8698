/** Shells are finer at the skin: faces at R (1 - (1 - j/n)^1.6). */
const FINER_AT_SKIN = 1.6;
/** 2R/(k R_sk) of one shell: Nusselt number of plug flow far from the inlet, wall at one temperature. */
const NUSSELT_PLUG = 5.783186;

/** Rings of a round strand for heat: everything that depends on the section alone. */
export type Shells = Readonly<{
  count: number;
  /** Section of each shell [m2], and its share of the whole. */
  area: Float64Array;
  share: Float64Array;
  /** Conductance between shell j and j + 1 per metre of strand [W/(m K)], count - 1 values. */
  conductance: Float64Array;
  /** Resistance between the mean of the outermost shell and the surface [m2 K/W]. */
  skin: number;
}>;

/**
 * Conductances exact for a parabola across the strand.     [hot-end-2]
 *
 *   g_j = 4 pi k r_j^2/(q_j - q_(j-1)),  q_j = (r_j^2 + r_(j+1)^2)/2,  R_sk = (R^2 - q_last)/(2 k R);  one shell: R/(2.89 k)
 *
 * @param radius       R [m]
 * @param conductivity k across [W/(m K)]
 * @param count        number of shells, 1 or more
 */
export function makeShells(radius: number, conductivity: number, count: number): Shells {
  const face = Float64Array.from(
    { length: count + 1 },
    (_, j) => radius * (1 - (1 - j / count) ** FINER_AT_SKIN),
  );
  const area = new Float64Array(count);
  const middle = new Float64Array(count);
  for (let j = 0; j < count; j++) {
    area[j] = Math.PI * (face[j + 1]! ** 2 - face[j]! ** 2);
    middle[j] = (face[j]! ** 2 + face[j + 1]! ** 2) / 2;
  }
  const conductance = Float64Array.from(
    { length: count - 1 },
    (_, j) => (4 * Math.PI * conductivity * face[j + 1]! ** 2) / (middle[j + 1]! - middle[j]!),
  );
  const skin =
    count === 1
      ? (2 * radius) / (conductivity * NUSSELT_PLUG)
      : (radius ** 2 - middle[count - 1]!) / (2 * conductivity * radius);
  const whole = Math.PI * radius ** 2;
  return { count, area, share: area.map((a) => a / whole), conductance, skin };
}
