import { BENDS } from '../campaign/questions.ts';
import { nominalWay, placesOfWay } from '../engine/links/feed.ts';
import type { Assessment } from '../engine/links/link.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { JudgedLink } from '../engine/plan/chain.ts';
import { type Predictive, shareHolds } from '../engine/plan/predictive.ts';
import type { Job } from '../job.ts';
import { fromSi, showNumber, showQuantity, showShare, showUnit } from '../units.ts';
import { bandOf, ninths, nominal, printsOf } from './depth-curves.ts';
import { makeStrip, spreadOf } from './strip.ts';
import type { FeedPicture } from './views.ts';
import { wayPieces } from './way-pieces.ts';

/** A plan as far as the link is there: what it found, and how that was judged. */
type Plan = Readonly<{ job: Job; found: Assessment; judged: JudgedLink }>;

/**
 * What the pictures of Feed are drawn from: the way's pieces, each place's margin, warmth, strain and pull.
 * @param text   the campaign file, whose pieces are edited
 * @param before the plan as it stands, while another is tried: its scale is kept
 */
export function feedPicture({ job, found, judged }: Plan, text: string, before: Plan | null): FeedPicture {
  const { weights } = judged.ruling.predictive;
  const { figures } = found;
  const names = placesOfWay(nominalWay(job));
  const first = mostOften(figures['first place']!, weights);
  const drawn = names.map((name) => strainOf(name, figures[`${name}: margin`]!, judged));
  const spread = scaleOf(before ?? { job, found, judged });
  return {
    pieces: wayPieces(job, text),
    things: thingsToHold(),
    hours: Array.from(found.traces['bend margin']!.axis, (t) => t / 3600),
    prints: printsOf(job),
    places: names.map((name, k) => ({
      name,
      margin: {
        share: showShare(shareHolds(drawn[k]!.predictive)),
        shareValue: shareHolds(drawn[k]!.predictive),
        ...figuresOf(
          figures[`${name}: margin`]!.map((m) => 1 / m),
          weights,
          '%',
        ),
        strip: makeStrip({ ...drawn[k]!, spread }),
      },
    })),
    first,
    ...warmthOf(job, found, names, weights),
    strain: bandOf(found, 'bending strain', weights, 100),
    breaks: bandOf(found, 'strain to break', weights, 100),
    strainWords: strainWords(found, weights),
    winding: windingOf(job, found, weights),
    pull: pullOf(found, weights),
  };
}

/** What a bend is held against, as the first questions have it: words, radius and how sure the eye is. */
function thingsToHold(): FeedPicture['things'] {
  return BENDS.map(({ value, label }) => {
    const [radius = '', , spread = ''] = value.split(/ (x [\d.]+ deg) /);
    return { label, radius, spread };
  });
}

function figuresOf(column: Float64Array, weights: Float64Array, unit: string) {
  const { median, range } = ninths(column, weights, unit);
  return { median, range };
}

/** One scale for all places: the tightest one's, so that the same distance means the same risk. */
function scaleOf({ job, found, judged }: Plan): number {
  const first = mostOften(found.figures['first place']!, judged.ruling.predictive.weights);
  const name = placesOfWay(nominalWay(job))[first]!;
  return spreadOf(strainOf(name, found.figures[`${name}: margin`]!, judged));
}

/** Where most runs have their least margin. */
function mostOften(place: Float64Array, weights: Float64Array): number {
  const sums = new Map<number, number>();
  for (let i = 0; i < weights.length; i++) sums.set(place[i]!, (sums.get(place[i]!) ?? 0) + weights[i]!);
  return [...sums].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
}

/** One place as a margin: bending strain as a share of the strain that breaks the strand there, 100 % at most. */
function strainOf(name: string, margin: Float64Array, judged: JudgedLink) {
  const predictive = likeLink(margin, judged);
  const holds = Math.round(shareHolds(predictive) * 20);
  return {
    predictive,
    limit: 1,
    side: 'at most' as const,
    unit: 0.01,
    print: (share: number) => showNumber(100 * share, 0),
    printLimit: () => showQuantity(1, '%', 3),
    finding: `${name}: ${holds} of 20 runs stay below the strain that breaks the strand.`,
  };
}

/** The spread of a place's margin with the bias and the scatter that the link's own check has. */
export function likeLink(margin: Float64Array, judged: JudgedLink): Predictive {
  const { check, predictive } = judged.checks.find((one) => one.check.name === 'bend')!;
  const bias = predictive.x.map((x, i) => x - Math.log(check.margin[i]!));
  return { ...predictive, x: margin.map((m, i) => Math.log(m) + bias[i]!) };
}

/** Places along the tube [m] at which its warmth is told: close where it changes most. */
const ALONG = [
  0, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.05, 0.07, 0.1, 0.15, 0.2, 0.3, 0.5, 1, 2, 5,
] as const;

/** The strand's temperature as it runs [feed-9], in the middle run, and in words; and what it is after a stop. */
function warmthOf(job: Job, found: Assessment, names: readonly string[], weights: Float64Array) {
  const { figures } = found;
  const way = nominalWay(job);
  const warm = figures['off the winding: temperature running']!;
  const half = figures['half warm after']!;
  const outside = way.bends.findIndex((bend) => !bend.inBox);
  const room =
    outside < 0
      ? new Float64Array(weights.length).fill(nominal(job, 'room.temperature'))
      : figures[`${names[outside + 1]}: temperature after a stop`]!;
  const at = (distance: number) =>
    warm.map((start, i) => room[i]! + (start - room[i]!) * 2 ** (-distance / half[i]!));
  const places = [...ALONG.filter((distance) => distance < way.length), way.length];
  const drive = at(way.length);
  return {
    warmth: places.map((distance) => ({
      at: distance,
      running: fromSi(weightedQuantile(at(distance), weights, 0.5), 'C'),
    })),
    room: fromSi(weightedQuantile(room, weights, 0.5), 'C'),
    boxWords: `leaves the box at ${degrees(warm, weights)}`,
    driveWords: `reaches the drive at ${degrees(drive, weights)}`,
    stoppedWords: `after a stop of two minutes ${degrees(room, weights)} all along the tube`,
  };
}

function degrees(column: Float64Array, weights: Float64Array): string {
  return showQuantity(weightedQuantile(column, weights, 0.5), 'C', 2);
}

function windingOf(job: Job, found: Assessment, weights: Float64Array): FeedPicture['winding'] {
  const { axis, rows } = found.traces['winding radius']!;
  const radiusAt = (moment: number) => {
    let k = axis.length - 1;
    for (let i = axis.length - 1; i >= 0; i--) if (axis[i]! >= moment - 1) k = i;
    const column = weights.map((_, i) => rows[k + axis.length * i]!);
    return showQuantity(weightedQuantile(column, weights, 0.5), 'mm', 2);
  };
  return job.prints.map(({ plate, start, time }) => ({
    plate,
    from: radiusAt(start),
    to: radiusAt(start + time),
  }));
}

/** "Where it is tightest the strand is bent by 1.5 % and breaks at 2.2 % ...", at the moment that is worst. */
function strainWords(found: Assessment, weights: Float64Array): string {
  const margin = bandOf(found, 'bend margin', weights).median;
  const strain = bandOf(found, 'bending strain', weights, 100).median;
  const breaks = bandOf(found, 'strain to break', weights, 100).median;
  const least = margin.reduce<number>(
    (best, value, k) => (value !== null && value < (margin[best] ?? Number.POSITIVE_INFINITY) ? k : best),
    0,
  );
  if (strain[least] === null || breaks[least] === null) return 'Nothing is printed yet.';
  return `Where it is tightest the strand is bent by ${percent(strain[least]!)} and breaks at ${percent(breaks[least]!)}, in the middle run at its worst moment.`;
}

function percent(share: number): string {
  return `${showNumber(share, 1)}${showUnit('%')}`;
}

/** Pull against grip: no bias and no scatter is known for it, so the draws alone are drawn. */
function pullOf(found: Assessment, weights: Float64Array): FeedPicture['pull'] {
  const pull = found.figures['pull most']!;
  const grip = found.figures['grip']!;
  const predictive = { x: pull.map((force, i) => Math.log(grip[i]! / force)), scatter: 0, weights };
  const limit = weightedQuantile(grip, weights, 0.5);
  const share = shareHolds(predictive);
  return {
    share: showShare(share),
    shareValue: share,
    ...figuresOf(pull, weights, 'N'),
    strip: makeStrip({
      predictive,
      limit,
      side: 'at most',
      unit: 1,
      print: (force) => showNumber(force, 0),
      printLimit: (force) => showQuantity(force, 'N', 2),
      finding: `pull: ${Math.round(share * 20)} of 20 runs stay below the grip of the drive, about ${showQuantity(limit, 'N', 2)}.`,
    }),
  };
}
