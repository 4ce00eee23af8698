/** Block and sink after the heater is switched off with the strand in: two lumps. SI, kelvin. */
export type Soak = Readonly<{
  block: number;
  sink: number;
  air: number;
  /** J/K. */
  blockCapacity: number;
  sinkCapacity: number;
  /** W/K: block to air, block to sink through break and contact, sink to air. */
  blockToAir: number;
  blockToSink: number;
  sinkToAir: number;
}>;

/**
 * Hottest moment of the sink, in closed form by the eigenvalues of the two lumps.     [jam-9]
 * @returns the peak [K] and its time [s]; where the sink only cools, its start and 0
 */
export function sinkPeak(s: Soak): { peak: number; at: number } {
  const a = (s.blockToAir + s.blockToSink) / s.blockCapacity;
  const b = s.blockToSink / s.blockCapacity;
  const c = s.blockToSink / s.sinkCapacity;
  const d = (s.sinkToAir + s.blockToSink) / s.sinkCapacity;
  // x' = -a x + b y, y' = c x - d y over the air; both eigenvalues are real and below 0.
  const x0 = s.block - s.air;
  const y0 = s.sink - s.air;
  const root = Math.sqrt((a - d) ** 2 + 4 * b * c);
  const slow = (-(a + d) + root) / 2;
  const fast = (-(a + d) - root) / 2;
  const rise = c * x0 - d * y0;
  if (rise <= 0) return { peak: s.sink, at: 0 };
  const ofSlow = (rise - fast * y0) / (slow - fast);
  const ofFast = y0 - ofSlow;
  const at = Math.log((-ofFast * fast) / (ofSlow * slow)) / (slow - fast);
  return { peak: s.air + ofSlow * Math.exp(slow * at) + ofFast * Math.exp(fast * at), at };
}
