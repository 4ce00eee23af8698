import { courseOf, type Leg } from '../engine/links/course.ts';
import { CUT_OFF, nominalWay } from '../engine/links/feed.ts';
import type { Assessment } from '../engine/links/link.ts';
import type { Job } from '../job.ts';
import { showQuantity, showSpan } from '../units.ts';
import { bandOf, ninths } from './depth-curves.ts';
import type { StayDryPicture } from './views.ts';

/** What the pictures of Stay dry mark beside their curves: the greatest water, and what each wait does. */
export function stayDryPicture(job: Job, found: Assessment, weights: Float64Array): StayDryPicture {
  const legs = courseOf(job.prints).legs.filter(({ print }) => print >= 0);
  return { greatest: greatestOf(job, found, legs, weights), waits: waitsOf(job, found, legs, weights) };
}

function greatestOf(
  job: Job,
  found: Assessment,
  legs: readonly Leg[],
  weights: Float64Array,
): StayDryPicture['greatest'] {
  const { axis } = found.traces['nozzle']!;
  const { median } = bandOf(found, 'nozzle', weights, 100);
  const at = median.reduce<number>((best, water, k) => ((water ?? 0) > (median[best] ?? 0) ? k : best), 0);
  const leg = legs.find(({ firstPoint, lastPoint }) => at >= firstPoint && at <= lastPoint);
  const into = leg ? axis[at]! - leg.from : 0;
  const plate = leg ? `plate ${job.prints[leg.print]!.plate}` : '';
  const when = into < 60 ? `at the start of ${plate}` : `${showSpan(into)} into ${plate}`;
  // The middle of each run's own greatest value: what the checks judge.
  const whole = ninths(found.checks[0]!.values, weights, 'wt %');
  return { hour: axis[at]! / 3600, water: median[at] ?? 0, words: `greatest ${whole.median}, ${when}` };
}

/** Each time between two prints: what stood in the tube comes first, the strand behind it ten minutes later. */
function waitsOf(
  job: Job,
  found: Assessment,
  legs: readonly Leg[],
  weights: Float64Array,
): StayDryPicture['waits'] {
  const { axis, rows } = found.traces['nozzle']!;
  const waterAt = (point: number) =>
    ninths(
      weights.map((_, i) => rows[point + axis.length * i]!),
      weights,
      'wt %',
    ).whole;
  const stands = (job.betweenPrints ?? 'left in the tube') === 'left in the tube';
  const metres = showQuantity(Math.max(CUT_OFF, nominalWay(job).length), 'm', 2);
  return legs.slice(1).map((leg, k) => {
    const plate = job.prints[leg.print]!.plate;
    const from = legs[k]!.to;
    return {
      words: `${job.prints[legs[k]!.print]!.plate} to ${plate}`,
      from: from / 3600,
      to: leg.from / 3600,
      span: showSpan(leg.from - from),
      first: waterAt(leg.firstPoint),
      behind: waterAt(Math.min(leg.firstPoint + 1, leg.lastPoint)),
      mend: stands
        ? `cut off ${metres} before plate ${plate}`
        : job.betweenPrints === 'cut off'
          ? `${metres} are cut off before plate ${plate}`
          : 'drawn back into the box',
    };
  });
}
