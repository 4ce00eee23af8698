import { editDistance, nearest } from '../cards/nearest.ts';
import { parseUncertain } from '../cards/spread.ts';
import type { Opened, Path } from '../cards/yaml-text.ts';
import type { Problem } from '../problem.ts';
import { parseClock, parseQuantity } from '../units.ts';
import { needsZone, parseMoment } from './times.ts';

/**
 * What two places of a campaign must agree on: names, counts, either-or. Works on the file as it stands, because it
 * must speak even where other values are wrong; whatever has not the form that belongs there is passed over, since the
 * schema tells it.
 */
export function crossProblems(raw: Readonly<Record<string, unknown>>, opened: Opened): Problem[] {
  const problems: Problem[] = [];
  const complain = (code: string, path: Path, message: string, expected?: string) =>
    problems.push({ code, message, ...(expected ? { expected } : {}), where: opened.where(path) });
  const groups = items(raw['groups']);
  const plates = items(raw['plates']);
  checkNames(groups, 'groups', 'group', complain);
  checkNames(plates, 'plates', 'plate', complain);
  checkBars(groups, plates, complain);
  checkCompare(raw, groups, complain);
  checkPlates(plates, complain);
  checkKit(map(raw['kit']), complain);
  checkPath(map(map(raw['kit'])['box']), complain);
  checkHeat(raw, complain);
  checkDrying(raw, complain);
  checkSpoolWeight(raw, complain);
  checkPeople(map(raw['people']), complain);
  checkEvents(raw, plates, complain);
  checkSettings(map(raw['settings']), complain);
  checkTest(map(raw['test']), plates, complain);
  return problems;
}

type Complain = (code: string, path: Path, message: string, expected?: string) => void;
type Map = Readonly<Record<string, unknown>>;
type Item = Readonly<{ index: number; map: Map }>;

function map(value: unknown): Map {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Map) : {};
}

function items(value: unknown): readonly Item[] {
  return Array.isArray(value) ? value.map((item, index) => ({ index, map: map(item) })) : [];
}

function nameOf(item: Item): string | null {
  const { name } = item.map;
  return typeof name === 'string' || typeof name === 'number' ? String(name) : null;
}

function names(list: readonly Item[]): string[] {
  return list.map(nameOf).filter((name) => name !== null);
}

/** The one of a list that is meant, or the list. */
function offer(word: string, known: readonly string[], none: string): string {
  const near = nearest(word, known);
  if (near !== null) return `"${near}"`;
  if (known.length === 1) return `"${known[0]}"`;
  return known.length > 0 ? `one of ${known.join(', ')}` : none;
}

function checkNames(list: readonly Item[], at: string, what: string, complain: Complain): void {
  const seen = new Set<string>();
  for (const item of list) {
    const name = nameOf(item);
    if (name === null) continue;
    if (seen.has(name))
      complain(
        'name-twice',
        [at, item.index, 'name'],
        `There are two of the ${what} "${name}".`,
        'each name once',
      );
    seen.add(name);
  }
}

/** Group that a bar is said to belong to; null where the form is wrong or it is unknown. */
function groupOf(bar: unknown): string | null {
  const group = typeof bar === 'object' ? map(bar)['group'] : bar;
  return typeof group === 'string' || typeof group === 'number'
    ? group === 'unknown'
      ? null
      : String(group)
    : null;
}

/** Id of a bar for life: numbers are those of parts on one plate, so the plate's name stands before them. */
export function barId(plate: string, key: string): string {
  return /^\d+$/.test(key) ? `${plate}${key}` : key;
}

function checkBars(groups: readonly Item[], plates: readonly Item[], complain: Complain): void {
  const known = names(groups);
  const laid = new Map<string, number>();
  const ids = new Set<string>();
  for (const plate of plates)
    for (const [key, bar] of Object.entries(map(plate.map['bars']))) {
      const path = ['plates', plate.index, 'bars', key];
      const id = barId(nameOf(plate) ?? `plate ${plate.index + 1} `, key);
      if (ids.has(id))
        complain('id-twice', path, `There are two bars "${id}".`, 'an id for each bar, over all plates');
      ids.add(id);
      const group = groupOf(bar);
      if (group === null) continue;
      if (!known.includes(group))
        complain(
          'unknown-name',
          path,
          `"${group}" is not a group of this campaign.`,
          offer(group, known, 'a group under "groups"'),
        );
      laid.set(group, (laid.get(group) ?? 0) + 1);
    }
  for (const group of groups) {
    const name = nameOf(group);
    const wanted = group.map['bars'];
    const count = laid.get(name ?? '') ?? 0;
    if (typeof wanted === 'number' && count > wanted)
      complain(
        'too-many-bars',
        ['groups', group.index, 'bars'],
        `The plates hold ${count} bars of the group "${name}", the group asks for ${wanted}.`,
        `${count}, or fewer bars on the plates`,
      );
  }
}

function checkCompare(raw: Map, groups: readonly Item[], complain: Complain): void {
  const compare = map(raw['question'])['compare'];
  if (!Array.isArray(compare)) return;
  const known = names(groups);
  for (const [index, group] of compare.entries())
    if (typeof group === 'string' && !known.includes(group))
      complain(
        'unknown-name',
        ['question', 'compare', index],
        `"${group}" is not a group of this campaign.`,
        offer(group, known, 'a group under "groups"'),
      );
  if (compare.length === 1)
    complain(
      'wrong-value',
      ['question', 'compare'],
      'One group alone cannot be compared.',
      'two groups or more',
    );
}

/** What a print without a file must say. */
const MADE = ['layer', 'bead', 'flow'];

function checkPlates(plates: readonly Item[], complain: Complain): void {
  for (const plate of plates) {
    const print = map(plate.map['print']);
    const said = Object.keys(print);
    if (said.length === 0) continue;
    const path = ['plates', plate.index, 'print'];
    const made = [...MADE, 'supports'].filter((key) => said.includes(key));
    if (said.includes('gcode') && made.length > 0)
      complain(
        'either-or',
        path,
        `"gcode" and "${made[0]}" stand beside each other.`,
        'the file, or what would be in it',
      );
    const lacking = MADE.filter((key) => !said.includes(key));
    if (!said.includes('gcode') && lacking.length > 0)
      complain(
        'missing',
        path,
        `${lacking.map((key) => `"${key}"`).join(' and ')} ${lacking.length > 1 ? 'are' : 'is'} missing.`,
        '"gcode" with the name of a file, or "layer", "bead" and "flow"',
      );
    if (said.includes('member') && !said.includes('gcode'))
      complain(
        'missing',
        path,
        '"member" names a file inside a container, and no container is named.',
        '"gcode" beside it',
      );
  }
}

function checkKit(kit: Map, complain: Complain): void {
  const nozzle = map(map(kit['hot end'])['nozzle']);
  if (nozzle['hard'] !== undefined && nozzle['card'] !== undefined)
    complain(
      'either-or',
      ['kit', 'hot end', 'nozzle', 'hard'],
      '"hard" and "card" both choose the nozzle.',
      'one of them',
    );
}

function checkPath(box: Map, complain: Complain): void {
  const path = box['path'];
  if (!Array.isArray(path)) return;
  const at = ['kit', 'box', 'path'];
  if (path.length === 0)
    complain(
      'missing',
      at,
      'The path has no piece, so it has no length.',
      'its tube and its bends, such as [{ tube: "0.9 m" }, { bend: "60 mm x 90 deg" }]',
    );
  for (const { index, map: piece } of items(path)) {
    const keys = Object.keys(piece).filter((key) => key === 'tube' || key === 'bend');
    if (keys.length > 1)
      complain(
        'either-or',
        [...at, index],
        '"tube" and "bend" stand in one piece.',
        'a piece for each, in the order from the spool',
      );
  }
}

/** Value of a quantity with or without a spread; null where it has another form, which the schema tells. */
function saidValue(text: unknown, unit: string): number | null {
  if (typeof text !== 'string') return null;
  const parsed = parseUncertain(text, unit);
  return parsed.ok ? parsed.value.value : null;
}

/** No box and no dryer is set hotter than strand and spool stand, where somebody has said what that is. */
function checkHeat(raw: Map, complain: Complain): void {
  const limit = map(raw['spool'])['dry at most'] ?? map(raw['spool'])['limit of heat'];
  const most = saidValue(limit, 'C');
  if (most === null) return;
  for (const place of ['box', 'dryer'])
    for (const key of ['at', 'temperature']) {
      const said = map(map(raw['kit'])[place])[key];
      const set = saidValue(said, 'C');
      if (set !== null && set > most)
        complain(
          'too-hot',
          ['kit', place, key],
          `The ${place} ${place === 'box' ? 'stands' : 'is set'} at "${String(said)}", and strand and spool stand "${String(limit)}" at most.`,
          `"${String(limit)}" or less`,
        );
    }
}

/** Words that begin a drying; a weighing belongs to the drying begun before it. */
export const STARTED_DRYING = 'started drying';
/** So many letters off, it was meant and mistyped. */
const MISTYPED = 5;

/** Weighings need their drying or their plate, and only one drying is followed; what would be passed over is told. */
function checkDrying(raw: Map, complain: Complain): void {
  const events = items(raw['events']).filter(
    ({ map: event }) => event['taken back'] !== true && event['taken back'] !== 'yes',
  );
  const did = (word: (text: string) => boolean) =>
    events.filter(({ map: event }) => typeof event['did'] === 'string' && word(event['did']));
  const starts = did((text) => text === STARTED_DRYING);
  const expected = `"did: ${STARTED_DRYING}"`;
  for (const { index, map: event } of did(
    (text) => text !== STARTED_DRYING && editDistance(text.toLowerCase(), STARTED_DRYING) <= MISTYPED,
  ))
    complain(
      'wrong-value',
      ['events', index, 'did'],
      `"${String(event['did'])}" begins no drying.`,
      expected,
    );
  const weighed = events.filter(
    ({ map: event }) => event['weighed'] !== undefined && event['plate'] === undefined,
  );
  if (starts.length === 0 && weighed[0])
    complain(
      'missing',
      ['events', weighed[0].index],
      weighed.length === 1
        ? 'This weighing belongs to no drying.'
        : `These ${weighed.length} weighings belong to no drying.`,
      `an event ${expected} before, or "plate" with the last one that had come off`,
    );
  if (starts.length > 1)
    complain(
      'wrong-value',
      ['events', starts[1]!.index, 'did'],
      'A second drying is booked, and only the one before the first print can be followed.',
      'one drying; take the other back with "taken back: yes"',
    );
}

function checkSpoolWeight(raw: Map, complain: Complain): void {
  const said = map(raw['spool'])['empty weight'];
  const empty = saidValue(said, 'g');
  if (empty === null) return;
  for (const { index, map: event } of items(raw['events'])) {
    const weighed =
      typeof event['weighed'] === 'string' ? parseQuantity(event['weighed'], { unit: 'g' }) : null;
    if (weighed?.ok && weighed.value.value < empty)
      complain(
        'too-light',
        ['events', index, 'weighed'],
        `The spool weighs "${String(event['weighed'])}", less than its empty body of "${String(said)}".`,
        'the weight of spool and strand together',
      );
  }
}

function checkPeople(people: Map, complain: Complain): void {
  for (const { index, map: there } of items(people['there'])) {
    const from = parseClock(String(there['from']));
    const to = parseClock(String(there['to']), true);
    if (from.ok && to.ok && to.value <= from.value)
      complain(
        'wrong-value',
        ['people', 'there', index, 'to'],
        `"${String(there['to'])}" is not after "${String(there['from'])}".`,
        'an end on the same day; a night is two stretches, to 24:00 and from 00:00',
      );
  }
}

function barIds(plates: readonly Item[]): string[] {
  return plates.flatMap((one) =>
    Object.keys(map(one.map['bars'])).map((key) => barId(nameOf(one) ?? '', key)),
  );
}

/** Bars that were broken are bars of a plate; whoever leaves one out says what was seen. */
function checkTest(test: Map, plates: readonly Item[], complain: Complain): void {
  const ids = barIds(plates);
  const called = new Set<string>();
  for (const [id, raw] of Object.entries(map(test['bars']))) {
    const path = ['test', 'bars', id];
    const bar = map(raw);
    if (!ids.includes(id))
      complain(
        'unknown-name',
        path,
        `"${id}" is not a bar of this campaign.`,
        offer(id, ids, 'a bar of a plate'),
      );
    if (bar['left out'] !== undefined && bar['note'] === undefined)
      complain(
        'missing',
        [...path, 'left out'],
        'A bar is left out, and nobody says what was seen.',
        'a "note" beside it, such as "4 mm from the lower jaw"',
      );
    const other = bar['called'];
    if (other === undefined || typeof other === 'object') continue;
    if (called.has(String(other)))
      complain(
        'name-twice',
        [...path, 'called'],
        `Two bars are called "${String(other)}" in the files.`,
        'a name for each',
      );
    called.add(String(other));
  }
}

const WHAT = ['did', 'weighed', 'saw'];

function checkEvents(raw: Map, plates: readonly Item[], complain: Complain): void {
  const zone = map(raw['people'])['zone'];
  const plateNames = names(plates);
  for (const { index, map: event } of items(raw['events'])) {
    const path = ['events', index];
    const said = WHAT.filter((key) => event[key] !== undefined);
    if (said.length !== 1)
      complain(
        'either-or',
        path,
        said.length === 0
          ? 'The event does not say what happened.'
          : `"${said.join('" and "')}" stand in one event.`,
        'one of "did", "weighed" and "saw"',
      );
    if (
      typeof event['at'] === 'string' &&
      zone === undefined &&
      parseMoment(event['at']).ok &&
      needsZone(event['at'])
    )
      complain(
        'missing',
        [...path, 'at'],
        `"${event['at']}" is a time of your clock, and "people.zone" does not say where that is.`,
        '"people: { zone: Europe/Vienna }", or an offset such as +01:00 at the end',
      );
    const plate = event['plate'];
    if (plate !== undefined && typeof plate !== 'object' && !plateNames.includes(String(plate)))
      complain(
        'unknown-name',
        [...path, 'plate'],
        `"${String(plate)}" is not a plate of this campaign.`,
        offer(String(plate), plateNames, 'a plate under "plates"'),
      );
    const bar = event['bar'];
    if (bar !== undefined && typeof bar !== 'object') {
      const ids = barIds(plates);
      const id = plate === undefined ? String(bar) : barId(String(plate), String(bar));
      if (!ids.includes(id) && !ids.includes(String(bar)))
        complain(
          'unknown-name',
          [...path, 'bar'],
          `"${String(bar)}" is not a bar of this campaign.`,
          offer(String(bar), ids, 'a bar of a plate'),
        );
    }
  }
}

function checkSettings(settings: Map, complain: Complain): void {
  const fan = map(settings['part fan']);
  const [least, most] = [fan['least'], fan['most']].map((text) => Number.parseFloat(String(text)));
  if (least! > most!)
    complain(
      'wrong-value',
      ['settings', 'part fan'],
      'The least of the part fan is more than its most.',
      'least before most',
    );
}
