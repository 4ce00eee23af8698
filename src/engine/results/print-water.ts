import type { Job } from '../../job.ts';
import { courseOf } from '../links/course.ts';
import type { Assessment } from '../links/link.ts';
import { weightedQuantile } from '../numerics/weighted-quantile.ts';

/** Water of the strand at the nozzle while one plate was printed, mean over its time; shares by mass, 9 draws in 10. */
export type PrintWater = Readonly<{ median: number; low: number; high: number }>;

/**
 * The water of every print, by the name of its plate, from the link Stay dry.
 *
 * @param job     with its prints, as it was given to the link
 * @param weights of the draws, after what was weighed
 */
export function printWater(job: Job, stayDry: Assessment, weights: Float64Array): Map<string, PrintWater> {
  const trace = stayDry.traces['nozzle'];
  if (trace === undefined) throw new Error('the link Stay dry tells no water at the nozzle');
  const points = trace.axis.length;
  const course = courseOf(job.prints);
  const found = new Map<string, PrintWater>();
  for (const { print, firstPoint, lastPoint } of course.legs) {
    if (print < 0) continue;
    const means = Float64Array.from(weights, (_, draw) => {
      let sum = 0;
      for (let k = firstPoint; k < lastPoint; k++) {
        const [a, b] = [trace.rows[k + points * draw]!, trace.rows[k + 1 + points * draw]!];
        sum += ((a + b) / 2) * (trace.axis[k + 1]! - trace.axis[k]!);
      }
      return sum / (trace.axis[lastPoint]! - trace.axis[firstPoint]!);
    });
    found.set(job.prints[print]!.plate, {
      median: weightedQuantile(means, weights, 0.5),
      low: weightedQuantile(means, weights, 0.05),
      high: weightedQuantile(means, weights, 0.95),
    });
  }
  return found;
}
