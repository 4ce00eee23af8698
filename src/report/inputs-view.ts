import { type Draws, FOLLOWS } from '../engine/draws.ts';
import type { LinkName } from '../engine/links/link.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { JudgedChain } from '../engine/plan/chain.ts';
import type { Entry, Job } from '../job.ts';
import { showQuantity, showRange, showShare } from '../units.ts';
import { measureWords, plainName } from './chain-view.ts';
import { listed } from './link-words.ts';
import type { InputsView, InputView } from './views.ts';

/** An input carries so much of its link's spread that the headline counts it. */
const MOST_FROM = 0.1;

/** Every input of the links that are there: value, spread, source, share of its link's spread. */
export function inputsView(job: Job, judged: JudgedChain, draws: Draws): InputsView {
  const inputs = judged.order.flatMap((name) => {
    const drivers = new Map(judged.links[name]!.drivers.map((driver) => [driver.key, driver.share]));
    const most = judged.links[name]!.drivers.find(({ key }) => measureWords(key) !== null)?.key;
    return Object.values(job.entries)
      .filter((entry) => entry.readBy.includes(name) && typeof entry.value === 'number' && isDrawn(entry))
      .map((entry) => inputView(entry, name, drivers.get(entry.key) ?? 0, entry.key === most, draws))
      .sort((a, b) => (b.share ?? 0) - (a.share ?? 0));
  });
  const leading = inputs.filter((input) => (input.share ?? 0) >= MOST_FROM);
  const assumed = inputs.filter((input) => input.from === 'Assumed').length;
  return {
    headline:
      leading.length === 0
        ? 'No single input makes most of the doubt'
        : `${leading.length === 1 ? 'One input makes' : `${leading.length} inputs make`} most of the doubt: ${listed(leading.slice(0, 3).map((input) => input.words))}${leading.length > 3 ? ' and others' : ''}`,
    sentence: `Every input stands on a card: its value, its spread and where it comes from. The last column says how much of its link's spread is due to it. ${assumed === 0 ? 'Nothing is assumed.' : `${assumed} of them nobody entered: they are assumed.`}`,
    inputs,
  };
}

/** What a link's own model works out of other inputs is a result and no input. */
function isDrawn({ key, law }: Entry): boolean {
  return law.kind !== 'follows' || Object.hasOwn(FOLLOWS, key);
}

function inputView(
  entry: Entry,
  link: LinkName,
  share: number,
  mostOfLink: boolean,
  draws: Draws,
): InputView {
  const value = entry.value as number;
  const known = entry.law.kind === 'fixed';
  const column = draws.column(entry.key);
  const even = new Float64Array(column.length).fill(1);
  const at = (p: number) => weightedQuantile(column, even, p);
  const quantiles = known ? null : [0.05, 0.25, 0.5, 0.75, 0.95].map(at);
  const shown = quantiles
    ? showRange({ median: value, low: quantiles[0]!, high: quantiles[4]! }, entry.unit)
    : { median: showQuantity(value, entry.unit, 4), range: 'taken as exact' };
  return {
    key: entry.key,
    words: plainName(entry.key),
    value: shown.median,
    range: shown.range,
    from: fromTag(entry),
    source: entry.source,
    card: entry.card,
    link,
    share,
    shareWords: known ? '' : showShare(share),
    quantiles,
    path: entry.path ?? null,
    measure: mostOfLink ? measureWords(entry.key) : null,
  };
}

/** Yours, Published, Practice or Assumed: what a number rests on. */
function fromTag(entry: Entry): InputView['from'] {
  if (entry.from === 'assumed') return 'Assumed';
  if (entry.from === 'campaign' || entry.from === 'own card') return 'Yours';
  return /\b(19|20)\d\d\b|ISO|ASTM|ASHRAE|IAPWS/.test(entry.source) &&
    !entry.source.startsWith('common practice')
    ? 'Published'
    : 'Practice';
}
