import type { Question } from './questions.ts';
import { snippet } from './write.ts';

/** A part found in a print, with what the first question made of it. */
export type PartSaid = Readonly<{
  /** Its number in the file, from 1. */
  part: number;
  /** Type of bar, such as `1B`; `unknown` where the sizes fit none. */
  bar: string;
  /** `flat`, `on edge`, `upright` or `unknown`. */
  orientation: string;
}>;

/** One dropped file: a plate. */
export type PlateSaid = Readonly<{ name: string; gcode: string; member?: string; bars: readonly PartSaid[] }>;

export type Answers = Readonly<{
  campaign: string;
  plates: readonly PlateSaid[];
  /** Text of each field by `question.field`, such as `dryer.at`; missing, empty or `unknown`: I do not know. */
  fields: Readonly<Record<string, string>>;
}>;

/**
 * The campaign that follows from the answers to the eight questions: a file with comments, ready to be read and edited.
 * What was not answered says `unknown`, so that the card's wide spread is used and marked as assumed. Answers are put
 * in as they were typed: `readCampaign` complains about them with their path, which is the path of their field.
 */
export function campaignFromAnswers({ campaign, plates, fields }: Answers): string {
  const said = (id: string) => {
    const answer = fields[id]?.trim() ?? '';
    return answer === '' ? 'unknown' : answer;
  };
  const value = (id: string) => snippet(said(id));
  const groups = groupsOf(plates);
  const lines = [
    '# Made from the answers to eight questions. "unknown" uses the wide spread of the card and is marked as assumed.',
    'format: 1',
    `campaign: ${JSON.stringify(campaign)}`,
    ...questionLines(groups, said, value),
    'people:',
    `  zone: ${value('people.zone')}`,
    `  there: ${there(said, value)}`,
    'kit:',
    `  printer: { chamber: { card: ${value('machine.chamber')}, settles at: ${value('machine.heat')} } }`,
    `  sheet: { size: ${value('sheet.size')}, clamps: ${value('sheet.clamps')}, glue: ${value('sheet.glue')} }`,
    `  dryer: { card: ${value('dryer.card')}, at: ${value('dryer.at')}, for: ${value('dryer.for')} }`,
    `  box: { card: ${boxCard(said)}, path: ${path(said, value)} }`,
    `spool: { net: ${value('spool.net')}, dry at most: ${value('dryer.most')}, since opened: ${sinceOpened(said, value)} }`,
    ...groupLines(groups),
    ...plateLines(plates),
  ];
  return `${lines.join('\n')}\n`;
}

type Group = Readonly<{ name: string; bar: string; orientation: string; bars: number }>;

/** Bars of one type and one direction are a group; bars whose direction nobody knows are in none. */
function groupsOf(plates: readonly PlateSaid[]): readonly Group[] {
  const counts = new Map<string, Group>();
  const types = new Set(plates.flatMap(({ bars }) => bars.filter(isKnown).map(({ bar }) => bar)));
  for (const bar of plates.flatMap(({ bars }) => bars).filter(isKnown)) {
    const name = groupName(bar, types.size > 1);
    const group = counts.get(name) ?? { name, bar: bar.bar, orientation: bar.orientation, bars: 0 };
    counts.set(name, { ...group, bars: group.bars + 1 });
  }
  return [...counts.values()];
}

function isKnown({ bar, orientation }: PartSaid): boolean {
  return bar !== 'unknown' && orientation !== 'unknown';
}

function groupName({ bar, orientation }: PartSaid, withType: boolean): string {
  return withType ? `${orientation} ${bar}` : orientation;
}

type Said = (id: string) => string;

function questionLines(groups: readonly Group[], said: Said, value: Said): string[] {
  if (said('question.compare') === 'nothing' || groups.length < 2) return ['question: unknown'];
  const compare = groups.map(({ name }) => name).join(', ');
  return [
    `question: { compare: [${compare}], measure: ${value('question.measure')}, smallest difference: ${value('question.difference')} }`,
  ];
}

function there(said: Said, value: Said): string {
  const ids = ['people.days', 'people.from', 'people.to'];
  if (ids.some((id) => said(id) === 'unknown')) return 'unknown';
  const [days, from, to] = ids.map(value);
  return `[ { days: ${days}, from: ${from}, to: ${to} } ]`;
}

function boxCard(said: Said): string {
  const from = said('feed.from');
  return snippet(from === 'dryer' ? said('dryer.card') : from);
}

function path(said: Said, value: Said): string {
  return said('feed.bend') === 'unknown' ? 'unknown' : `[ { bend: ${value('feed.bend')} } ]`;
}

function sinceOpened(said: Said, value: Said): string {
  if (said('spool.open') === 'unknown' && said('spool.kept') === 'unknown') return 'unknown';
  const kept = said('spool.kept') === 'unknown' ? 'room' : value('spool.kept');
  return `[ { in: ${kept}, for: ${value('spool.open')} } ]`;
}

function groupLines(groups: readonly Group[]): string[] {
  if (groups.length === 0) return [];
  return [
    'groups:',
    ...groups.map(
      ({ name, bar, orientation, bars }) =>
        `  - { name: ${name}, bar: ${bar}, orientation: ${orientation}, bars: ${bars} }`,
    ),
  ];
}

function plateLines(plates: readonly PlateSaid[]): string[] {
  if (plates.length === 0) return [];
  const types = new Set(plates.flatMap(({ bars }) => bars.filter(isKnown).map(({ bar }) => bar)));
  return [
    'plates:',
    ...plates.map(({ name, gcode, member, bars }) => {
      // Names are text whatever they look like, also `[a].gcode`.
      const file = `gcode: ${JSON.stringify(gcode)}${member === undefined ? '' : `, member: ${JSON.stringify(member)}`}`;
      const laid = bars.map(
        (bar) => `${bar.part}: ${isKnown(bar) ? groupName(bar, types.size > 1) : 'unknown'}`,
      );
      const list = laid.length > 0 ? `, bars: { ${laid.join(', ')} }` : '';
      return `  - { name: ${snippet(name)}, print: { ${file} }${list} }`;
    }),
  ];
}

/** Where a complaint about an answer belongs: the field whose path it names, as `question.field`. */
export function fieldAt(questions: readonly Question[], path: string): string | null {
  let best: Readonly<{ id: string; length: number }> | null = null;
  for (const question of questions)
    for (const field of question.fields) {
      if (field.path === null || !(path === field.path || path.startsWith(`${field.path}.`))) continue;
      if (best === null || field.path.length > best.length)
        best = { id: `${question.id}.${field.id}`, length: field.path.length };
    }
  return best?.id ?? null;
}
