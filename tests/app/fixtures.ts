import { normalQuantile } from '../../src/engine/numerics/normal.ts';
import { shareHolds } from '../../src/engine/plan/predictive.ts';
import { neckWidth, QUESTIONS } from '../../src/report/link-words.ts';
import { makeStrip } from '../../src/report/strip.ts';
import type { InputsView, InputView, LinkView, PrintView, QuestionView } from '../../src/report/views.ts';
import type { ChainView, CheckView, DryDepth, RunsView } from '../../src/server/api.ts';
import { showNumber, showQuantity, showRange, showShare } from '../../src/units.ts';

/**
 * Views as the server would print them, for states that are hard to reach with real figures. All numbers invented.
 */

/** 256 equally likely draws whose ln margin has this mean and spread. */
function drawsOf(mean: number, spread: number): Float64Array {
  return Float64Array.from({ length: 256 }, (_, i) => mean + spread * normalQuantile((i + 0.5) / 256));
}

type Made = Readonly<{
  name: string;
  answer: 'comes off' | 'counts';
  quantity: string;
  /** Margin in the middle, as ln, and the spread about it. */
  margin: number;
  spread: number;
  limit: number;
  side: 'at most' | 'at least';
  unit: string;
  /** SI value of one unit. */
  one: number;
}>;

export function check(made: Made): CheckView {
  const predictive = {
    x: drawsOf(made.margin, made.spread),
    scatter: 0.1,
    weights: new Float64Array(256).fill(1),
  };
  const share = shareHolds(predictive);
  const at = (z: number) =>
    made.limit * Math.exp((made.side === 'at most' ? -1 : 1) * (made.margin + z * made.spread));
  const ends = [at(-1.645), at(1.645)].sort((a, b) => a - b) as [number, number];
  const range = showRange({ median: at(0), low: ends[0], high: ends[1] }, made.unit);
  return {
    name: made.name,
    answer: made.answer,
    share: showShare(share),
    shareValue: share,
    quantity: made.quantity,
    median: range.median,
    range: range.range,
    limit: `${made.side} ${showQuantity(made.limit, made.unit, 3)}`,
    strip: makeStrip({
      predictive,
      limit: made.limit,
      side: made.side,
      unit: made.one,
      print: (value) => showNumber(value / made.one, 2),
      printLimit: (value) => showQuantity(value, made.unit, 3),
      finding: `${made.quantity}: ${Math.round(share * 20)} of 20 runs hold the limit of ${showQuantity(made.limit, made.unit, 3)}.`,
    }),
  };
}

export type LinkName = keyof typeof QUESTIONS;
export const NAMES = Object.keys(QUESTIONS) as LinkName[];

export function blankLink(name: LinkName, state: LinkView['state'] = 'not computed yet'): LinkView {
  return {
    name,
    question: QUESTIONS[name],
    state,
    failure: null,
    weakest: false,
    assumed: false,
    assumedWords: null,
    share: '',
    shareValue: null,
    answers: '',
    ruling: null,
    checks: [],
    together: null,
    before: null,
    width: 1,
    cracked: false,
    nothingToChange: false,
    ways: [],
    leastKnown: null,
    dry: null,
    stayDry: null,
    feed: null,
    stayDryPicture: null,
    feedPicture: null,
  };
}

export function linkOf(name: LinkName, checks: readonly Made[]): LinkView {
  const views = checks.map(check);
  const ruling = views.reduce((a, b) => (b.shareValue < a.shareValue ? b : a));
  return {
    ...blankLink(name, 'done'),
    share: ruling.share,
    shareValue: ruling.shareValue,
    answers: views.map((view) => `${view.answer} ${view.share}`).join(', '),
    ruling,
    checks: views,
    width: neckWidth(normalQuantile(Math.min(Math.max(ruling.shareValue, 1e-6), 1 - 1e-6))),
    cracked: ruling.shareValue < 0.5,
    nothingToChange: ruling.shareValue >= 0.95,
  };
}

const WATER = { unit: 'wt %', one: 0.01, side: 'at most' as const };

/** Dry with its depth; `hours` of drying move both margins, as a lever would. */
export function dryLink(hours: number): LinkView {
  const gain = Math.log(hours / 8) * 0.9;
  const link = linkOf('Dry', [
    {
      name: 'visible',
      answer: 'comes off',
      quantity: 'worst winding',
      margin: 0.55 + gain,
      spread: 0.38,
      limit: 0.0045,
      ...WATER,
    },
    {
      name: 'strict',
      answer: 'counts',
      quantity: 'worst winding',
      margin: -0.22 + gain,
      spread: 0.42,
      limit: 0.002,
      ...WATER,
    },
  ]);
  return {
    ...link,
    weakest: !link.nothingToChange,
    ways: [
      {
        id: 'hours-16',
        words: 'Dry 16 h, not 8 h',
        effect: 'counts 30 → 84 %',
        cost: '8 h more; plate A a day later',
        minutes: 10,
        changes: [{ path: 'kit.dryer.for', value: '16 h' }],
        mends: true,
      },
      {
        id: 'vented-dryer',
        words: 'A vented dryer at 80 °C',
        effect: 'counts 30 → 78 %',
        cost: 'a dryer to buy or borrow',
        minutes: 30,
        changes: [{ path: 'kit.dryer.card', value: 'dryer-vented' }],
        mends: true,
      },
      {
        id: 'bed-100',
        words: 'Bed 90 → 100 °C',
        effect: 'counts 30 → 44 %',
        cost: 'nothing',
        minutes: 1,
        changes: [{ path: 'kit.dryer.at', value: '100 C' }],
        mends: false,
      },
    ],
    leastKnown: {
      input: 'how long it lay open',
      share: '41 % of this spread',
      measure: 'Weigh the spool before its drying and every two hours.',
    },
    dry: dryDepth(hours),
  };
}

function curve(start: number, floor: number, hoursToHalf: number, hours: readonly number[]): number[] {
  return hours.map((t) => floor + (start - floor) * 0.5 ** (t / hoursToHalf));
}

export function dryDepth(planned: number): DryDepth {
  const hours = Array.from({ length: 49 }, (_, i) => i * 0.5);
  const band = (start: number, half: number) => ({
    low: curve(start * 0.7, 0.05, half * 0.8, hours),
    median: curve(start, 0.08, half, hours),
    high: curve(start * 1.4, 0.12, half * 1.25, hours),
  });
  return {
    hours,
    mean: band(0.82, 4.2),
    worst: band(0.95, 6.1),
    plannedHours: planned,
    flips: planned > 4 ? [planned / 2] : [],
    limits: [
      { name: 'strict', water: 0.2, label: 'strict 0.2 wt %' },
      { name: 'visible', water: 0.45, label: 'visible 0.45 wt %' },
    ],
    needed: [
      'To the visible limit: 7 h for half of the runs, 11 h for 9 in 10.',
      'To the strict limit: 13 h 30 min for half of the runs, not within 2 d for 9 in 10.',
      'However long: this place with this room’s air cannot go below 0.07 wt % (0.04 to 0.12), and a spool left in it ends there.',
    ],
    scale: [
      { at: 'after 2 h', predicted: '2.1 g (1.1 to 3.4) less', seen: '2 g less', says: null },
      { at: 'after 4 h', predicted: '3.3 g (1.9 to 5.0) less', seen: null, says: null },
      { at: 'after 8 h', predicted: '4.4 g (2.7 to 6.4) less', seen: null, says: null },
    ],
    advice: [
      'Turn the spool over after 4 h. Up to 4 h late does no harm.',
      'Weigh within 10 min of taking it out. A board under a hot spool keeps its warmth off the scale.',
    ],
    cautions: [
      {
        hazard: 'Bed 90 °C. It burns through thin gloves.',
        words:
          'Keep cover and spool clear of the heater and of any flame. Dry under a cover only while you are there. Follow the machine’s manual and your local rules.',
      },
    ],
    weak: [
      'How fast water moves at 70 to 90 °C rests on processing practice, not on a table.',
      'No measured drying of a spool has been compared with this model. Your first one, with weighings, outranks every number here.',
    ],
    levers: [
      {
        label: 'How it is dried',
        path: 'kit.dryer.card',
        value: 'bed-under-card-cover',
        hint: '',
        choices: [
          { value: 'bed-under-card-cover', label: 'On the bed under a card cover' },
          { value: 'bed-under-plastic-cover', label: 'On the bed under a plastic cover' },
          { value: 'dryer-vented', label: 'Spool dryer with a vent' },
          { value: 'fan-oven', label: 'Oven with a fan, never one for food' },
        ],
      },
      {
        label: 'Dry for, h',
        path: 'kit.dryer.for',
        value: `${planned} h`,
        hint: 'such as 12 h',
        choices: null,
      },
      { label: 'At, °C', path: 'kit.dryer.at', value: '90 C', hint: 'at most 90 °C', choices: null },
      {
        label: 'Turn it over',
        path: 'kit.dryer.flip',
        value: 'every 4 h',
        hint: 'such as every 4 h, or no',
        choices: null,
      },
    ],
  };
}

function runsOf(counts: number, spoiled: [string, number][], lost: [string, number][]): RunsView {
  const told = (list: [string, number][]) => list.map(([link, count]) => ({ link, count }));
  return {
    threads: [
      ...Array.from({ length: counts }, () => ({ lostAt: null, spoiledAt: null })),
      ...spoiled.flatMap(([link, count]) =>
        Array.from({ length: count }, () => ({ lostAt: null, spoiledAt: link })),
      ),
      ...lost.flatMap(([link, count]) =>
        Array.from({ length: count }, () => ({ lostAt: link, spoiledAt: null })),
      ),
    ],
    spoiled: told(spoiled),
    lost: told(lost),
    counts,
    comeOff: counts + spoiled.reduce((sum, [, count]) => sum + count, 0),
  };
}

const CHAIN: Omit<ChainView, 'headline' | 'links' | 'runs' | 'sentence' | 'scope'> = {
  campaign: 'Sensor bracket, invented example',
  invented: true,
  bars: 30,
  plates: 4,
  state: 'done',
  draws: 256,
  seed: 7,
  trying: [],
  problems: [],
};

const SCOPE =
  'This speaks for Dry and other mishaps alone: Stay dry, Feed, Hot end, Layers, Hold, Hands and Shape are not computed yet.';

/** Dry alone is computed, as in the first version. */
export function dryChain(hours = 8): ChainView {
  return {
    ...CHAIN,
    headline: 'As planned, 17 runs in 20 come off the machine; 6 in 20 count',
    sentence: 'Dry spoils most. Dry 16 h, not 8 h, and 18 in 20 come off, 15 in 20 count.',
    scope: SCOPE,
    links: NAMES.map((name) => (name === 'Dry' ? dryLink(hours) : blankLink(name))),
    runs: runsOf(
      6,
      [['Dry', 11]],
      [
        ['Dry', 2],
        ['other mishaps', 1],
      ],
    ),
  };
}

/** The same draws with a change; the plan as it stands is kept for comparison. */
export function triedChain(hours: number, words: string): ChainView {
  const before = dryLink(8);
  const after = dryLink(hours);
  return {
    ...dryChain(hours),
    headline: 'With this change, 18 runs in 20 come off the machine; 15 in 20 count',
    trying: [words],
    links: NAMES.map((name) => (name === 'Dry' ? { ...after, before: before.ruling } : blankLink(name))),
    runs: runsOf(
      15,
      [['Dry', 3]],
      [
        ['Dry', 1],
        ['other mishaps', 1],
      ],
    ),
  };
}

/** All eight links, as later versions will have them: Hold is the weakest, Shape is assumed. */
export function wholeChain(): ChainView {
  const links = [
    { ...dryLink(14), weakest: false },
    linkOf('Stay dry', [
      {
        name: 'visible',
        answer: 'comes off',
        quantity: 'water at the nozzle',
        margin: 0.95,
        spread: 0.3,
        limit: 0.0045,
        ...WATER,
      },
      {
        name: 'strict',
        answer: 'counts',
        quantity: 'water at the nozzle',
        margin: 0.22,
        spread: 0.26,
        limit: 0.002,
        ...WATER,
      },
    ]),
    linkOf('Feed', [
      {
        name: 'bend',
        answer: 'comes off',
        quantity: 'bend strain',
        margin: 0.62,
        spread: 0.28,
        limit: 0.034,
        side: 'at most',
        unit: '%',
        one: 0.01,
      },
    ]),
    linkOf('Hot end', [
      {
        name: 'push',
        answer: 'comes off',
        quantity: 'push margin',
        margin: 0.7,
        spread: 0.44,
        limit: 1,
        side: 'at least',
        unit: '',
        one: 1,
      },
    ]),
    linkOf('Layers', [
      {
        name: 'alike',
        answer: 'counts',
        quantity: 'bond ratio',
        margin: 0.085,
        spread: 0.04,
        limit: 0.85,
        side: 'at least',
        unit: '',
        one: 1,
      },
    ]),
    linkOf('Hold', [
      {
        name: 'sheet',
        answer: 'comes off',
        quantity: 'worst lift',
        margin: 0.8,
        spread: 0.75,
        limit: 1.5e-3,
        side: 'at most',
        unit: 'mm',
        one: 1e-3,
      },
      {
        name: 'ends',
        answer: 'counts',
        quantity: 'worst lift',
        margin: 0.25,
        spread: 0.72,
        limit: 0.5e-3,
        side: 'at most',
        unit: 'mm',
        one: 1e-3,
      },
    ]),
    linkOf('Hands', [
      {
        name: 'moments',
        answer: 'comes off',
        quantity: 'delay',
        margin: 0.5,
        spread: 0.4,
        limit: 3600,
        side: 'at most',
        unit: 'min',
        one: 60,
      },
    ]),
    linkOf('Shape', [
      {
        name: 'curve',
        answer: 'counts',
        quantity: 'ends rise',
        margin: 1.2,
        spread: 0.4,
        limit: 0.7e-3,
        side: 'at most',
        unit: 'mm',
        one: 1e-3,
      },
    ]),
  ];
  const way = (id: string, words: string, effect: string, cost: string, mends = true) => ({
    id,
    words,
    effect,
    cost,
    minutes: 6,
    changes: [{ path: `try.${id}`, value: 'yes' }],
    mends,
  });
  return {
    ...CHAIN,
    headline: 'As planned, 15 runs in 20 come off the machine; 9 in 20 count',
    sentence:
      'Hold spoils most. Clamp the two edges the bars point at, and 18 in 20 come off, 13 in 20 count.',
    scope: '',
    links: links.map((link) => {
      if (link.name === 'Hold')
        return {
          ...link,
          weakest: true,
          together: 'All 2 checks: 61 %',
          leastKnown: {
            input: 'pull of the magnets',
            share: '41 % of this spread',
            measure: 'Measure it in 10 min.',
          },
          ways: [
            way(
              'clamps',
              'Clamp the two edges the bars point at',
              'counts 64 → 88 %, comes off 84 → 97 %',
              '6 min at the bench',
            ),
            way('three', 'Three bars a plate, not six', 'counts 64 → 86 %', 'one more plate, half a day'),
            way('bed', 'Bed 100 → 110 °C', 'counts 64 → 70 %', 'nothing', false),
          ],
        };
      if (link.name === 'Stay dry')
        return {
          ...link,
          ways: [way('desiccant', 'Desiccant in the heated box', 'counts 82 → 91 %', 'to buy or bake out')],
        };
      if (link.name === 'Shape')
        return {
          ...link,
          assumed: true,
          assumedWords:
            'Assumed: nobody said how long bars lie under a weight. Until then the spread is wide.',
        };
      return link;
    }),
    runs: runsOf(
      9,
      [
        ['Dry', 2],
        ['Stay dry', 1],
        ['Hold', 3],
      ],
      [
        ['Hot end', 1],
        ['Hold', 2],
        ['Hands', 1],
        ['other mishaps', 1],
      ],
    ),
  };
}

export function allHoldChain(): ChainView {
  const chain = wholeChain();
  return {
    ...chain,
    headline: 'As planned, 19 runs in 20 come off the machine; 18 in 20 count',
    sentence: 'Both wanted chances are reached by the links computed so far.',
    links: chain.links.map((link) => ({
      ...(link.name === 'Dry' ? dryLink(40) : link),
      weakest: false,
      nothingToChange: true,
      together: null,
      ways: [],
    })),
    runs: runsOf(18, [['Dry', 1]], [['other mishaps', 1]]),
  };
}

/** Rows in place at once, nothing known yet. */
export function emptyChain(): ChainView {
  return {
    ...dryChain(),
    state: 'computing',
    headline: 'Computing the chain',
    sentence: '',
    scope: '',
    links: NAMES.map((name) => blankLink(name, name === 'Dry' ? 'computing' : 'not computed yet')),
    runs: null,
  };
}

/** Half of the draws are there: figures in grey. */
export function halfChain(): ChainView {
  const chain = dryChain();
  return {
    ...chain,
    state: 'computing',
    links: chain.links.map((link) => (link.name === 'Dry' ? { ...link, state: 'computing' as const } : link)),
  };
}

export function failedChain(): ChainView {
  const chain = wholeChain();
  return {
    ...chain,
    scope: 'Feed could not be computed.',
    links: chain.links.map((link) =>
      link.name === 'Feed'
        ? {
            ...blankLink('Feed', 'failed'),
            failure:
              'Feed has no bend and no tube to compute with. Expected at least one bend on the way, such as "60 mm x 90 deg".',
          }
        : link,
    ),
  };
}

const LONG =
  'Doppelwandiger Feuchtigkeitsabscheidezwischenbehälter_mit_einer_Kennung_die_nicht_umbrochen_werden_kann';

/** Texts longer than anybody would write, to see what gives. */
export function longChain(): ChainView {
  const chain = wholeChain();
  return {
    ...chain,
    campaign: `Sensor bracket, ${LONG}`,
    sentence: `Hold spoils most. ${LONG}, and so on for a while, until the line is full and full again.`,
    links: chain.links.map((link) => ({
      ...link,
      ways: link.ways.map((way) => ({ ...way, words: `${way.words}, ${LONG}`, cost: LONG })),
      leastKnown: link.leastKnown && { ...link.leastKnown, input: LONG },
    })),
    problems: [
      {
        sentence: `${LONG}.gcode, line 18 204: "G1 X12..4" is not a move. Expected a number after X.`,
        file: `${LONG}.gcode`,
        line: 18204,
        level: 'note',
      },
    ],
  };
}

function input(
  key: string,
  link: string,
  share: number | null,
  from: InputView['from'],
  value: string,
  range: string,
): InputView {
  return {
    key,
    words: key.slice(key.indexOf('.') + 1),
    value,
    range,
    from,
    source: from === 'Published' ? 'Author 1994, table 3 (invented)' : 'common practice, no source',
    card: `${key.split('.')[0]}/card`,
    link,
    share,
    shareWords: share === null ? '' : showShare(share),
    quantiles: range === 'taken as exact' ? null : [0.25, 0.31, 0.36, 0.42, 0.5],
    path: from === 'Published' ? null : `kit.${key}`,
    measure:
      share === 0.52
        ? 'Weigh the spool before its drying. Weigh it every two hours. Enter both readings.'
        : null,
  };
}

export function inputsView(): InputsView {
  return {
    headline: 'Two inputs make most of the doubt: hours open and how fast water moves',
    sentence:
      'Every input stands on a card: its value, its spread and where it comes from. The last column says how much of its link’s spread is due to it.',
    inputs: [
      input('spool.hours open', 'Dry', 0.52, 'Assumed', '4.0 d', '1.0 to 16'),
      input('strand.how fast water moves, 90 °C', 'Dry', 0.29, 'Published', '3.4 · 10⁻¹¹ m²/s', '2.1 to 5.5'),
      input('room.humidity', 'Dry', 0.08, 'Yours', '52 %RH', '45 to 59'),
      input('dryer.temperature', 'Dry', 0.02, 'Practice', '90 °C', '84 to 95'),
      input('spool.net', 'Dry', 0, 'Yours', '750 g', 'taken as exact'),
      input('magnets.pull', 'Hold', 0.41, 'Practice', '5.0 kPa', '2.4 to 10'),
      input('sheet.thickness', 'Hold', 0.01, 'Yours', '0.50 mm', '0.48 to 0.52'),
    ],
  };
}

type Part = PrintView['sheet']['parts'][number];

/** A dumb-bell lying along x, its middle at (cx, cy): 150 long, 20 wide, waist 10 wide. */
function flatBar(number: number, cx: number, cy: number): Part {
  const half: [number, number][] = [
    [-75, 10],
    [-45, 10],
    [-30, 5],
    [30, 5],
    [45, 10],
    [75, 10],
  ];
  const outline = [...half, ...[...half].reverse().map(([x, y]): [number, number] => [x, -y])];
  return part(
    number,
    'bar',
    '1B bar, flat, along x',
    outline.map(([x, y]) => [cx + x, cy + y]),
    'flat',
  );
}

function boxPart(
  number: number,
  kind: Part['kind'],
  words: string,
  box: [number, number, number, number],
  orientation: string | null,
): Part {
  const [x0, y0, x1, y1] = box;
  return part(
    number,
    kind,
    words,
    [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ],
    orientation,
  );
}

function part(
  number: number,
  kind: Part['kind'],
  words: string,
  outline: [number, number][],
  orientation: string | null,
): Part {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  return {
    number,
    kind,
    words,
    box: [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
    outline: [outline],
    orientation,
    rows:
      kind === 'bar'
        ? [
            { what: 'Printed', value: String(number) },
            { what: 'Gap, mm', value: '8.0' },
            { what: 'Solid, cm³', value: '9.9' },
            { what: 'From line', value: showNumber(212 + 1692 * number, 0) },
          ]
        : [{ what: 'Solid, cm³', value: '1.2' }],
  };
}

function printOf(
  file: string,
  plate: string | null,
  parts: Part[],
  bars: string,
  problems: PrintView['problems'] = [],
): PrintView {
  const box: [number, number, number, number] = [
    Math.min(...parts.map((p) => p.box[0])),
    Math.min(...parts.map((p) => p.box[1])),
    Math.max(...parts.map((p) => p.box[2])),
    Math.max(...parts.map((p) => p.box[3])),
  ];
  return {
    file,
    plate,
    usable: true,
    headline: `${file} prints ${bars} in 4 h 10 min at 270 °C`,
    time: '4 h 10 min',
    layers: '20',
    bars,
    facts: [
      { what: 'Layers', value: '20, 0.20 mm each' },
      { what: 'Time', value: '4 h 10 min' },
      { what: 'Strand', value: '74 g, 25 m' },
      { what: 'Nozzle', value: '270 °C' },
      { what: 'Bed', value: '100 °C' },
      { what: 'Part fan', value: '10 to 30 %' },
      { what: 'Retractions', value: '412, 0.8 mm at 30 mm/s' },
      { what: 'Greatest flow', value: '6.2 mm³/s' },
      { what: 'Heat of the melt', value: '3.1 W' },
    ],
    sheet: { box, parts },
    ending: 'At the end it draws back 2 mm and switches nozzle and bed off: take the strand out at once.',
    problems,
    against: plate
      ? [
          {
            what: 'nozzle',
            file: '270 °C',
            plan: plate === 'A' ? '265 °C' : '270 °C',
            answer: plate === 'A' ? 'different' : 'same',
          },
          { what: 'layer', file: '0.2 mm', plan: '0.2 mm', answer: 'same' },
          { what: 'gap', file: '8.0 mm', plan: '', answer: 'not in plan' },
        ]
      : null,
  };
}

export function flatPrint(file = 'flat-six.gcode', plate: string | null = null): PrintView {
  const parts = Array.from({ length: 6 }, (_, i) => flatBar(i + 1, 130, 40 + i * 28));
  return printOf(file, plate, parts, '6 flat', [
    {
      sentence: `${file}, line 12: it sets no chamber temperature that can be read; a macro may heat. Taken from your settings: 55 °C.`,
      file,
      line: 12,
      level: 'note',
    },
  ]);
}

/** Small footprints close together, with supports: numbers must find room. */
export function uprightPrint(file = 'upright-twelve.gcode', plate: string | null = null): PrintView {
  const bars = Array.from({ length: 12 }, (_, i) => {
    const [x, y] = [60 + (i % 4) * 40, 50 + Math.floor(i / 4) * 45];
    return boxPart(i + 1, 'bar', '1B bar, upright', [x, y, x + 20, y + 4], 'upright');
  });
  const supports = bars.map((bar, i) =>
    boxPart(
      100 + i,
      'support',
      'support',
      [bar.box[0] - 3, bar.box[1] - 3, bar.box[2] + 3, bar.box[3] + 3],
      null,
    ),
  );
  const edge = boxPart(13, 'bar', '1B bar, on edge, along x', [60, 200, 210, 204], 'on edge');
  return printOf(file, plate, [...bars, edge, ...supports], '12 upright, 1 on edge');
}

export function questionViews(files: readonly string[]): QuestionView[] {
  const choice = (id: string, label: string, choices: string[]) => ({
    id,
    label,
    kind: 'choice' as const,
    choices: [
      ...choices.map((words) => ({ value: words, label: words })),
      { value: 'unknown', label: 'I do not know' },
    ],
    value: '',
    hint: '',
  });
  const text = (id: string, label: string, hint: string, value = '') => ({
    id,
    label,
    kind: 'text' as const,
    choices: [],
    value,
    hint,
  });
  return [
    {
      id: 'bars',
      words: 'Which bar is which?',
      help: 'Put in beforehand from how the parts lie.',
      fields: files.map((file) => ({
        id: `bars.${file}`,
        label: file,
        kind: 'bars' as const,
        choices: ['flat', 'on edge', 'upright', 'no bar'].map((words) => ({ value: words, label: words })),
        value: '1 flat, 2 flat, 3 flat, 4 flat, 5 flat, 6 flat',
        hint: '',
      })),
    },
    {
      id: 'spool',
      words: 'How much is on the spool, how long has it been open, and where was it kept?',
      help: 'The label tells the weight of the strand when new.',
      fields: [
        text('spool.net', 'Strand on the spool when new', '750 g'),
        choice('spool.open', 'Open for', ['just opened', 'about a day', 'some days', 'weeks']),
        choice('spool.kept', 'Kept', ['in the room', 'in the box it is fed from', 'in the dryer']),
      ],
    },
    {
      id: 'dryer',
      words: 'How do you dry it?',
      help: 'Nothing is planned above what spool and strand stand.',
      fields: [
        choice('dryer.card', 'With', [
          'bed under a card cover',
          'spool dryer with a vent',
          'oven with a fan',
        ]),
        text('dryer.at', 'Set to', '90 C'),
        text('dryer.for', 'For', '8 h'),
      ],
    },
    {
      id: 'feed',
      words: 'How is it fed, and what is the tightest bend on the way?',
      help: 'Hold a coin, a cup and a plate against the tightest bend of the tube.',
      fields: [
        choice('feed.from', 'Fed', ['from a warm closed box', 'from an open holder']),
        {
          ...choice('feed.bend', 'Tightest bend', [
            'as tight as a coin (12 mm)',
            'round as a cup (40 mm)',
            'round as a plate (120 mm), or wider',
          ]),
          kind: 'picture' as const,
        },
      ],
    },
    {
      id: 'machine',
      words: 'Is the machine closed, and does it show the heat of its chamber?',
      help: 'A figure read after an hour of printing is best.',
      fields: [
        choice('machine.chamber', 'Door and lid', ['closed', 'lid ajar', 'lid off']),
        text('machine.heat', 'Chamber after an hour', '52 C'),
      ],
    },
    {
      id: 'sheet',
      words: 'How large is the sheet, is it clamped, and is there glue on it?',
      help: 'The steel sheet that the magnets hold.',
      fields: [
        text('sheet.size', 'Size of the sheet', '260 x 220 mm'),
        choice('sheet.clamps', 'Clamps', ['none', 'at the corners']),
        choice('sheet.glue', 'A coat of glue', ['yes', 'no']),
      ],
    },
    {
      id: 'people',
      words: 'When are you there?',
      help: 'Moments that need hands are planned into these hours.',
      fields: [
        choice('people.days', 'Days', ['Monday to Friday', 'every day']),
        text('people.from', 'From', '07:30'),
        text('people.to', 'To', '18:00'),
      ],
    },
    {
      id: 'question',
      words: 'What must be compared?',
      help: 'The smallest difference that would matter decides how many bars it takes.',
      fields: [
        choice('question.compare', 'Compare', ['the directions with each other', 'nothing']),
        text('question.difference', 'Smallest difference that matters', '10 %'),
      ],
    },
  ];
}
