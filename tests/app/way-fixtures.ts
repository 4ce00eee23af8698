import { parse } from 'yaml';
import { setInCampaign } from '../../src/campaign/write.ts';
import type {
  ChainView,
  Change,
  FeedDepth,
  FeedPicture,
  LinkView,
  StayDryDepth,
  StayDryPicture,
} from '../../src/server/api.ts';
import { parseBend, parseQuantity, showQuantity } from '../../src/units.ts';
import { check, linkOf, wholeChain } from './fixtures.ts';

/**
 * Views of Stay dry and Feed for a way that is written in a small campaign: a change is written into its text, as the
 * server would, and the views follow. All numbers invented: wider bends hold better, warm ones too.
 */
const CAMPAIGN = `kit:
  box: { path: [{ tube: "0.7 m" }, { bend: "60 mm x 90 deg" }, { bend: "40 mm x 45 deg x/ 1.3" }] }
`;
type Said = FeedPicture['pieces'];

export function saidIn(text: string): Said {
  const { path } = (parse(text) as { kit: { box: { path: Record<string, string>[] } } }).kit.box;
  return path.flatMap((piece) =>
    Object.entries(piece).map(([kind, written]) => ({
      kind: kind as 'tube' | 'bend',
      text: written,
      assumed: false,
    })),
  );
}

/** The chain with changes written into the way. */
export function wayChain(changes: readonly Change[] = []): ChainView {
  const text = changes
    .filter(({ path }) => path.startsWith('kit.box.path'))
    .reduce((kept, { path, value }) => setInCampaign(kept, path, value), CAMPAIGN);
  const chain = wholeChain();
  const tried = changes.length > 0;
  const feed = feedLink(saidIn(text));
  const before = tried ? feedLink(saidIn(CAMPAIGN)).ruling : null;
  return {
    ...chain,
    headline: `${tried ? 'With this change' : 'As planned'}, 15 runs in 20 come off the machine; 9 in 20 count`,
    trying: changes.map(({ path, value }) => `${path}: ${value}`),
    links: chain.links.map((link) => {
      if (link.name === 'Stay dry') return stayDryLink();
      return link.name === 'Feed' ? { ...feed, before } : link;
    }),
  };
}

const PRINTS = [
  { plate: 'A', from: 0.5, to: 4.7, words: 'A: 4 h 10 min, 61 g' },
  { plate: 'B', from: 16, to: 20.2, words: 'B: 4 h 10 min, 61 g' },
  { plate: 'C', from: 20.7, to: 33, words: 'C: 12 h 20 min, 149 g' },
];
const HOURS = Array.from({ length: 67 }, (_, k) => k * 0.5);
const isPrinting = (hour: number) => PRINTS.some(({ from, to }) => hour >= from && hour <= to);

function bandOf(of: (hour: number) => number, throughout: boolean) {
  const at = (factor: number) =>
    HOURS.map((hour) => (throughout || isPrinting(hour) ? factor * of(hour) : null));
  return { low: at(0.7), median: at(1), high: at(1.45) };
}

function stayDryLink(): LinkView {
  const water = { quantity: 'water at the nozzle', unit: 'wt %', one: 0.01, side: 'at most' as const };
  const link = linkOf('Stay dry', [
    { name: 'visible', answer: 'comes off', margin: 0.95, spread: 0.3, limit: 0.0045, ...water },
    { name: 'strict', answer: 'counts', margin: 0.22, spread: 0.26, limit: 0.002, ...water },
  ]);
  return { ...link, stayDry: stayDryDepth(), stayDryPicture: stayDryPicture() };
}

function stayDryDepth(): StayDryDepth {
  return {
    hours: HOURS,
    nozzle: bandOf((hour) => 0.14 + 0.06 * Math.exp(-hour / 20) + (hour === 16 ? 0.2 : 0), false),
    outer: bandOf((hour) => 0.1 + 0.06 * Math.exp(-hour / 20), true),
    prints: PRINTS,
    limits: [
      { name: 'strict', water: 0.2, label: 'strict 0.20 wt %' },
      { name: 'visible', water: 0.45, label: 'visible 0.45 wt %' },
    ],
    found: ['At the first print the outer winding holds 0.16 wt % (0.11 to 0.23).'],
    left: ['Nothing printed from it, it passes the strict limit after 31 h in half of the runs.'],
    desiccant: [
      'It can take 38 g (21 to 60) more before the air is too damp for the strict limit.',
      'What leaks in fills it in 12 days in half of the runs, in 5 days in 1 of 10.',
    ],
    advice: ['Weigh the spool in the evening and in the morning.'],
    cautions: [{ hazard: 'Box at 65 °C, day and night.', words: 'Only where its manual allows it.' }],
    weak: ['How much the box leaks is a guess.'],
    levers: [
      {
        label: 'Fed',
        path: 'kit.box.card',
        value: 'heated-box',
        hint: '',
        choices: [
          { value: 'heated-box', label: 'From a warm closed box' },
          { value: 'open-room', label: 'From an open holder' },
        ],
      },
      { label: 'Box at, °C', path: 'kit.box.at', value: '65 C', hint: 'at most 70 °C', choices: null },
    ],
  };
}

function stayDryPicture(): StayDryPicture {
  return {
    greatest: { hour: 16, water: 0.37, words: 'greatest 0.37 wt %, at the start of plate B' },
    waits: [
      {
        words: 'A to B',
        from: 4.7,
        to: 16,
        span: '11 h 18 min',
        first: '0.37 wt % (0.26 to 0.54)',
        behind: '0.17 wt % (0.12 to 0.24)',
        mend: 'cut off 2 m before plate B',
      },
    ],
  };
}

type Bend = Readonly<{ radius: number; angle: number; from: number; inBox: boolean }>;

/** ln of the margin of a bend, invented: 25 mm is even cold, in the warm box half of it. */
function lnMargin({ radius, inBox }: Bend): number {
  return Math.log(radius / (inBox ? 0.0125 : 0.025));
}

export function feedLink(said: Said): LinkView {
  let along = 0;
  const bends: Bend[] = [];
  for (const { kind, text } of said) {
    const bare = text.replace(/ *x\/.*$/, '');
    if (kind === 'tube') {
      const length = parseQuantity(bare, { dimension: 'length' });
      if (length.ok) along += length.value.value;
    } else {
      const bend = parseBend(bare);
      if (bend.ok) bends.push({ ...bend.value, from: along, inBox: along === 0 });
    }
  }
  const least = Math.min(...bends.map(lnMargin));
  const link = linkOf('Feed', [
    {
      name: 'bend',
      answer: 'comes off',
      quantity: 'bending strain',
      margin: least,
      spread: 0.28,
      limit: 0.016,
      side: 'at most',
      unit: '%',
      one: 0.01,
    },
  ]);
  return {
    ...link,
    ways: [],
    feed: feedDepth(bends, along),
    feedPicture: feedPicture(said, bends, along, least),
  };
}

function feedDepth(bends: readonly Bend[], length: number): FeedDepth {
  return {
    hours: HOURS,
    margin: bandOf(() => 1.5, false),
    prints: PRINTS,
    way: [
      { kind: 'tube', from: 0, to: length, words: `${showQuantity(length, 'm', 2)} of tube` },
      ...bends.map((bend, k) => ({
        kind: 'bend' as const,
        name: `bend ${k + 1}`,
        thing: 'cup' as const,
        likeness: 'round as a cup',
        radius: 1000 * bend.radius,
        turn: (bend.angle * 180) / Math.PI,
        from: bend.from,
        inBox: bend.inBox,
        words: `${showQuantity(bend.radius, 'mm', 3)} radius, round as a cup`,
        strain: '1.5 % (0.9 to 2.3)',
        margin: '1.5 (0.8 to 2.9)',
        marginMedian: 1.5,
        holds: '79 %',
        least: '41 mm would hold in 19 runs of 20',
        running: bend.inBox ? '65.0 °C (62.1 to 67.9)' : '23.0 °C (20.3 to 25.7)',
        stopped: bend.inBox ? '65.0 °C (62.1 to 67.9)' : '23.0 °C (20.3 to 25.7)',
        first: false,
      })),
    ],
    found: [
      'It is tightest in bend 2, round as a cup.',
      'The way bends the strand as the winding has bent it.',
    ],
    strand: ['On the spool 750 g (734 to 766), needed 385 g (369 to 408): 3 prints, 3 purges of 5 g.'],
    pull: ['The drive pulls 8 N (4 to 18) at most against its grip of 60 N (40 to 91).'],
    advice: ['Widen bend 2 to 50 mm: then it holds in 19 runs of 20.'],
    changer: [
      'Keep an abrasive filled strand out of automatic spool changers.',
      'Wear: its fibres grind gears.',
    ],
    cautions: [
      { hazard: 'Broken ends are sharp.', words: 'Wear glasses where you bend strand to breaking.' },
    ],
    weak: ['Strain to break, set of the winding and pull are the weakest numbers here.'],
    levers: [
      { label: 'The way, from the winding', path: 'kit.box.path', value: '', hint: '', choices: null },
      {
        label: 'Purge at a start, g',
        path: 'kit.box.tube.purge',
        value: '5 g',
        hint: 'such as 5 g',
        choices: null,
      },
    ],
  };
}

function marginOf(name: string, margin: number): FeedPicture['places'][number] {
  const view = check({
    name,
    answer: 'comes off',
    quantity: name,
    margin,
    spread: 0.28,
    limit: 1,
    side: 'at most',
    unit: '%',
    one: 0.01,
  });
  const { share, shareValue, median, range, strip } = view;
  return { name, margin: { share, shareValue, median, range, strip } };
}

function feedPicture(said: Said, bends: readonly Bend[], length: number, least: number): FeedPicture {
  return {
    pieces: said,
    things: [
      { label: 'as tight as a coin (12 mm)', radius: '12 mm', spread: 'x/ 1.3' },
      { label: 'round as a cup (40 mm)', radius: '40 mm', spread: 'x/ 1.3' },
      { label: 'round as a plate (120 mm), or wider', radius: '120 mm', spread: 'x/ 1.3' },
    ],
    hours: HOURS,
    prints: PRINTS,
    places: [
      marginOf('off the winding', 2),
      ...bends.map((bend, k) => marginOf(`bend ${k + 1}`, lnMargin(bend))),
    ],
    first: 1 + bends.findIndex((bend) => lnMargin(bend) === least),
    warmth: [0, 0.02, 0.05, 0.1, 0.3, Math.max(length, 0.31)].map((at) => ({
      at,
      running: 23 + 42 * 0.5 ** (at / 0.035),
    })),
    room: 23,
    boxWords: 'leaves the box at 65 °C',
    driveWords: 'reaches the drive at 23 °C',
    stoppedWords: 'after a stop of two minutes 23 °C all along the tube',
    strain: bandOf(() => 1.5, false),
    breaks: bandOf((hour) => 2.1 + 0.6 * Math.exp(-hour / 5), false),
    winding: PRINTS.map(({ plate }) => ({ plate, from: '86 mm', to: '80 mm' })),
    pull: marginOf('pull', 2).margin,
    strainWords: 'Where it is tightest the strand is bent by 1.5 % and breaks at 2.2 %.',
  };
}
