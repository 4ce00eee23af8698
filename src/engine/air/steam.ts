/** Coefficients n1 .. n10 of region 4, IAPWS-IF97 release, Table 34 (from memory, met by the release's Table 35). */
const N = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

/** Range of region 4: from the triple point region to the critical temperature [K]. */
export const STEAM_FROM = 273.15;
export const STEAM_UNTIL = 647.096;

/**
 * Saturation pressure of steam, region 4 of IAPWS-IF97 [air-4].
 *
 *   theta = T + n9/(T - n10),  A = theta^2 + n1 theta + n2,  B = n3 theta^2 + n4 theta + n5,  C = n6 theta^2 + n7 theta + n8
 *   p = 1 MPa [2 C/(-B + sqrt(B^2 - 4 A C))]^4
 *
 * @param temperature T [K], 273.15 .. 647.096
 * @returns [Pa]
 * @throws RangeError outside this range: the caller's fault
 *
 * Source: IAPWS R7-97(2012), eq. (30).
 */
export function steamPressure(temperature: number): number {
  if (!(temperature >= STEAM_FROM && temperature <= STEAM_UNTIL))
    throw new RangeError(`steamPressure at ${temperature} K: region 4 holds from 273.15 to 647.096 K`);
  const theta = temperature + N[8] / (temperature - N[9]);
  const a = theta * (theta + N[0]) + N[1];
  const b = theta * (N[2] * theta + N[3]) + N[4];
  const c = theta * (N[5] * theta + N[6]) + N[7];
  return 1e6 * ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4;
}
