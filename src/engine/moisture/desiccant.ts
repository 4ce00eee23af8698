/** Desiccants: water held at balance, kg by kg of dry sorbent; slow uptake by one rate (see spool.ts). */
export type Sorbent =
  | Readonly<{ kind: 'silica gel'; capacity: number; humidityScale: number; exponent: number }>
  | Readonly<{ kind: 'molecular sieve'; capacity: number; humidityHalf: number; slope: number }>;

/**
 * Water at balance with air of this relative humidity [kg/kg] [moisture-25].
 *
 *   silica gel: q0 (1 - exp(-(rh/r0)^n));   molecular sieve: q0 rh/(rh + r0) + q1 rh
 *
 * Holds near 25 C: a warm desiccant holds less, the box is then dried less than shown.
 */
export function desiccantBalance(sorbent: Sorbent, humidity: number): number {
  if (sorbent.kind === 'silica gel')
    return sorbent.capacity * -Math.expm1(-((humidity / sorbent.humidityScale) ** sorbent.exponent));
  return (sorbent.capacity * humidity) / (humidity + sorbent.humidityHalf) + sorbent.slope * humidity;
}

/** Derivative of {@link desiccantBalance} by humidity. */
export function desiccantSlope(sorbent: Sorbent, humidity: number): number {
  if (sorbent.kind === 'silica gel') {
    const { capacity, humidityScale: r0, exponent: n } = sorbent;
    const reduced = humidity / r0;
    return capacity * Math.exp(-(reduced ** n)) * (n / r0) * reduced ** (n - 1);
  }
  const half = sorbent.humidityHalf;
  return (sorbent.capacity * half) / (humidity + half) ** 2 + sorbent.slope;
}
