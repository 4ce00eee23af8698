import { CUT_OFF, cutsOf, nominalWay, placesOfWay, printsToCome, senseOf } from '../engine/links/feed.ts';
import type { Assessment } from '../engine/links/link.ts';
import { pathText } from '../engine/links/path-text.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { JudgedLink } from '../engine/plan/chain.ts';
import { shareHolds } from '../engine/plan/predictive.ts';
import type { Job } from '../job.ts';
import { showNumber, showQuantity, showShare, showSpan } from '../units.ts';
import { bandOf, ninths, nominal, printsOf, shareOf } from './depth-curves.ts';
import { likeLink } from './feed-picture.ts';
import type { FeedDepth } from './views.ts';

/**
 * The link Feed in depth: the way with each bend's margin, where it snaps first, pull and strand left, in words.
 * @param judged gives a bend's share the bias and scatter of the link; without it, it is that of the draws alone
 */
export function feedDepth(
  job: Job,
  found: Assessment,
  weights: Float64Array,
  judged: JudgedLink | null = null,
): FeedDepth {
  return {
    hours: Array.from(found.traces['bend margin']!.axis, (t) => t / 3600),
    margin: bandOf(found, 'bend margin', weights),
    prints: printsOf(job),
    way: wayView(job, found, weights, judged),
    found: foundWords(job, found, weights),
    strand: strandWords(job, found, weights),
    pull: pullWords(found, weights),
    advice: adviceOf(job, found, weights),
    changer: changerWords(job, found, weights),
    cautions: CAUTIONS,
    weak: WEAK,
    levers: leversOf(job),
  };
}

/** Things to hold a bend against, by radius [m]: common practice, no source. */
const THINGS = [
  { until: 0.022, thing: 'coin', words: 'as tight as a coin' },
  { until: 0.07, thing: 'cup', words: 'round as a cup' },
  { until: Number.POSITIVE_INFINITY, thing: 'plate', words: 'round as a plate' },
] as const;

function likeness(radius: number): (typeof THINGS)[number] {
  return THINGS.find(({ until }) => radius < until)!;
}

function wayView(
  job: Job,
  found: Assessment,
  weights: Float64Array,
  judged: JudgedLink | null,
): FeedDepth['way'] {
  const { figures } = found;
  const way = nominalWay(job);
  const names = placesOfWay(way);
  const first = firstPlace(found, weights);
  const said = job.kit.path.some(({ kind }) => kind === 'bend');
  const bends = way.bends.map((bend, k) => {
    const name = names[k + 1]!;
    const of = (what: string) => figures[`${name}: ${what}`]!;
    const margin = of('margin');
    const { thing, words } = likeness(bend.radius);
    return {
      kind: 'bend' as const,
      name,
      thing,
      likeness: words,
      radius: 1000 * bend.radius,
      turn: (bend.angle * 180) / Math.PI,
      from: bend.distance,
      inBox: bend.inBox,
      words: `${showQuantity(bend.radius, 'mm', 3)} radius, ${words}, ${bend.inBox ? 'in the air of the box' : bend.distance >= way.length ? 'at the end of the tube' : `${showQuantity(bend.distance, 'm', 2)} along the tube`}${said ? '' : ', assumed'}`,
      strain: ninths(of('strain'), weights, '%').whole,
      margin: ninths(margin, weights, '').whole,
      marginMedian: weightedQuantile(margin, weights, 0.5),
      holds: showShare(
        judged ? shareHolds(likeLink(margin, judged)) : shareOf(weights, (i) => margin[i]! >= 1),
      ),
      least: leastRadius(of('smallest radius'), weights),
      running: ninths(of('temperature running'), weights, 'C').whole,
      stopped: ninths(of('temperature after a stop'), weights, 'C').whole,
      first: k + 1 === first.place,
    };
  });
  const tubes: FeedDepth['way'] = [];
  let from = 0;
  const ends = [...new Set([...way.bends.map(({ distance }) => distance), way.length])].sort((a, b) => a - b);
  for (const to of ends) {
    if (to > from)
      tubes.push({ kind: 'tube', from, to, words: `${showQuantity(to - from, 'm', 2)} of tube` });
    from = to;
  }
  // In the order in which the strand passes them: bends in the box first, each tube before the bend at its end.
  const at = (piece: FeedDepth['way'][number]) => (piece.kind === 'tube' ? piece.to : piece.from);
  const rank = (piece: FeedDepth['way'][number]) => (piece.kind === 'bend' ? 1 : 0);
  return [...tubes, ...bends].sort((a, b) => at(a) - at(b) || rank(a) - rank(b));
}

function leastRadius(column: Float64Array, weights: Float64Array): string {
  const high = weightedQuantile(column, weights, 0.95);
  return Number.isFinite(high)
    ? `${showQuantity(high, 'mm', 2)} would hold in 19 runs of 20`
    : 'in 1 run of 20 no bend is wide enough: the set of the winding alone is too much';
}

/** Where most of the runs have their least margin, and in which share of those that snap. */
function firstPlace(found: Assessment, weights: Float64Array): { place: number; cold: number } {
  const place = found.figures['first place']!;
  const sums = new Map<number, number>();
  for (let i = 0; i < weights.length; i++) sums.set(place[i]!, (sums.get(place[i]!) ?? 0) + weights[i]!);
  const most = [...sums].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
  const cold = found.figures['first cold']!;
  return {
    place: most,
    cold:
      shareOf(weights, (i) => place[i] === most && cold[i]! > 0) /
      Math.max(
        1e-9,
        shareOf(weights, (i) => place[i] === most),
      ),
  };
}

function foundWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const way = nominalWay(job);
  const first = firstPlace(found, weights);
  const bend = check(found, 'bend');
  const snaps = shareOf(weights, (i) => bend.margin[i]! < 1);
  const where =
    first.place === 0
      ? 'where it leaves the winding'
      : `in bend ${first.place}, ${likeness(way.bends[first.place - 1]!.radius).words}`;
  const sentences = [
    `It is tightest ${where}${first.cold > 0.5 ? ', with strand that has stood and is cold' : ''}.`,
  ];
  if (snaps > 0.02) {
    const moment = found.figures['first moment']!;
    const at = weightedQuantile(moment, weights, 0.5);
    const print = [...job.prints].reverse().find(({ start }) => start <= at);
    if (print)
      sentences.push(
        `The margin is least in plate ${print.plate}, ${showSpan(Math.max(60, at - print.start))} into it: every metre that passes is one more that could snap, and the winding grows tighter as the spool empties.`,
      );
  }
  const heated = job.entries['box.temperature']?.law.kind !== 'follows';
  if (heated)
    sentences.push(
      `Half of the box's warmth is gone ${ninths(found.figures['half warm after']!, weights, 'mm').whole} along the tube, and all of it after a stop of two minutes: the first pull is the cold one.`,
    );
  const sense = senseOf(job);
  sentences.push(
    sense === 0
      ? 'Which way round the winding lies is not said: the worse one is counted.'
      : sense === 1
        ? 'The way bends the strand as the winding has bent it.'
        : 'The way bends the strand against the winding.',
    'Dry strand is the stiffer and more brittle: water makes it tougher, and the bars worse.',
  );
  return sentences;
}

function check(found: Assessment, name: string) {
  return found.checks.find((one) => one.name === name)!;
}

function strandWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const left = ninths(found.figures['strand left']!, weights, 'g').whole;
  const needed = ninths(found.figures['strand needed']!, weights, 'g').whole;
  const starts = printsToCome(job).length;
  const cuts = cutsOf(job);
  const parts = [
    `${starts === 1 ? 'one print' : `${starts} prints`}`,
    `${starts === 1 ? 'a purge' : `${starts} purges`} of ${showQuantity(nominal(job, 'path.purge'), 'g', 2)}`,
    ...(cuts > 0
      ? [
          `${cuts === 1 ? 'one cut' : `${cuts} cuts`} of ${showQuantity(Math.max(CUT_OFF, nominal(job, 'path.length')), 'm', 2)}`,
        ]
      : []),
  ];
  const done = job.prints.length - starts;
  const sentences =
    starts === 0
      ? [`On the spool ${left}; every plate has come off.`]
      : [
          `On the spool ${left}${done > 0 ? ` after ${done === 1 ? 'one print' : `${done} prints`}` : ''}, needed ${needed}: ${parts.join(', ')}.`,
        ];
  if (shareOf(weights, (i) => check(found, 'strand').margin[i]! < 1) > 0.02)
    sentences.push('It can run out: weigh the spool without its empty weight, or take a fuller one.');
  return sentences;
}

function pullWords(found: Assessment, weights: Float64Array): string[] {
  const pull = found.figures['pull most']!;
  const grip = found.figures['grip']!;
  const slips = shareOf(weights, (i) => pull[i]! > grip[i]!);
  const sentences = [
    `The drive pulls ${ninths(pull, weights, 'N').whole} at most against its grip of ${ninths(grip, weights, 'N').whole}: an order of magnitude, no pull has been measured.`,
  ];
  if (slips > 0.02)
    sentences.push(`In ${showShare(slips)} of the runs that is more than it holds, before it pushes at all.`);
  return sentences;
}

/** What to do about it, in the order in which it pays. */
function adviceOf(job: Job, found: Assessment, weights: Float64Array): string[] {
  const snaps = shareOf(weights, (i) => check(found, 'bend').margin[i]! < 1);
  if (snaps < 0.05) return [BENCH];
  const heated = job.entries['box.temperature']?.law.kind !== 'follows';
  const first = firstPlace(found, weights);
  const name = placesOfWay(nominalWay(job))[first.place]!;
  const wide = weightedQuantile(found.figures[`${name}: smallest radius`]!, weights, 0.95);
  return [
    ...(first.place > 0 && Number.isFinite(wide)
      ? [
          `Widen ${name} to ${showQuantity(Math.ceil(100 * wide) / 100, 'mm', 3)}: then it holds in 19 runs of 20.`,
        ]
      : []),
    heated
      ? 'Put tight bends into the first 100 mm, better into the air of the box, or nowhere.'
      : 'Warm the box, and put tight bends into its air before the tube begins.',
    'Shorten the way, and turn the spool so that it bends the strand as the winding does.',
    'Start slowly after a stop.',
    BENCH,
  ];
}
const BENCH =
  'Test it: bend ten cold pieces of this strand round pegs of 60, 40, 30, 25 and 20 mm and note which broke. Wear glasses; wipe up the dust of broken ends, do not blow it.';

/** Trade fact, with its reasons; bends and bare air are what these screens compute, wear is not computed. */
function changerWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const bend = check(found, 'bend');
  const snaps = shareOf(weights, (i) => bend.margin[i]! < 1);
  const now =
    snaps > 0.02
      ? `this way alone snaps in ${showShare(snaps)} of the runs`
      : 'this way alone holds, and its figures would not';
  const metres = showQuantity(nominalWay(job).length, 'm', 2);
  return [
    'Keep an abrasive filled strand out of automatic spool changers. It is a rule of the trade, with three reasons.',
    'Wear: its fibres grind gears, cutters and tubes that were made for plain strand. Not computed.',
    `Bends: a changer adds tight bends and metres of tube, each one a place where dry strand snaps; ${now}.`,
    `Bare air: strand waits in open tubes between changes and takes up water there, as in the ${metres} of this tube.`,
  ];
}

const CAUTIONS: FeedDepth['cautions'] = [
  {
    hazard: 'Broken ends are sharp and shed carbon fibre dust.',
    words:
      "Wear glasses where you bend strand to breaking. Wipe dust up damp, do not blow it. Follow the strand's safety sheet.",
  },
];

const WEAK: string[] = [
  'Strain to break, set of the winding and pull are the weakest numbers here: no strand was bent and no pull measured for them.',
  'A longer stay in the warmth sets the strand further; left out.',
  'Inside the machine the way counts as being at room temperature.',
];

function leversOf(job: Job): FeedDepth['levers'] {
  return [
    {
      label: 'The way, from the winding',
      path: 'kit.box.path',
      value: job.kit.path.length > 0 ? pathText(job.kit.path) : '',
      hint: 'such as [{ tube: "0.1 m" }, { bend: "60 mm x 90 deg" }, { tube: "0.6 m" }]',
      choices: null,
    },
    {
      label: 'Way round',
      path: 'kit.box.tube.way round',
      value: String(job.entries['path.way round']?.value ?? 'unknown'),
      hint: '',
      choices: [
        { value: 'with the winding', label: 'With the winding' },
        { value: 'against the winding', label: 'Against the winding' },
        { value: 'unknown', label: 'I do not know' },
      ],
    },
    {
      label: 'Purge at a start, g',
      path: 'kit.box.tube.purge',
      value: `${showNumber(1000 * nominal(job, 'path.purge'), 1).replace(/\.0$/, '')} g`,
      hint: 'such as 5 g',
      choices: null,
    },
  ];
}
