import type { CardSet } from '../cards/find.ts';
import { problemsOf } from '../cards/shape.ts';
import { openYaml } from '../cards/yaml-text.ts';
import type { Problem } from '../problem.ts';
import { crossProblems } from './checks.ts';
import { type CampaignData, campaignSchema } from './schema.ts';

/** A campaign file that was read without a complaint. */
export type Campaign = Readonly<{
  file: string;
  data: CampaignData;
  /** Paths at which the file says `unknown`, keys joined by a point. */
  unknown: ReadonlySet<string>;
}>;

/**
 * Reads a campaign file, format 1. All complaints are made at once, each with line and column; the campaign is null
 * where there is any.
 * @param text the file; bytes become text by `textOf`
 * @param at   its name for sentences, and the cards that may be named in it
 */
export function readCampaign(
  text: string,
  at: Readonly<{ file: string; cards: CardSet }>,
): Readonly<{ campaign: Campaign | null; problems: readonly Problem[] }> {
  const opened = openYaml(text, at.file);
  if (opened.raw === null) return { campaign: null, problems: opened.problems };
  const unknown = new Set<string>();
  const known = withoutUnknown(opened.raw, [], unknown) as Record<string, unknown>;
  const schema = campaignSchema(at.cards);
  const parsed = schema.safeParse(known, { reportInput: true });
  const problems = [
    ...(parsed.success ? [] : problemsOf(parsed.error, schema, opened)),
    ...crossProblems(known, opened),
  ].sort(byPlace);
  return {
    campaign: parsed.success && problems.length === 0 ? { file: at.file, data: parsed.data, unknown } : null,
    problems,
  };
}

function byPlace(a: Problem, b: Problem): number {
  return (a.where?.line ?? 0) - (b.where?.line ?? 0) || (a.where?.column ?? 0) - (b.where?.column ?? 0);
}

/** Groups of keys that mean nothing with one of them unknown: all of the group is unknown then. */
const WHOLE_OR_UNKNOWN = [
  /^people\.there$/,
  /^settings\.part fan$/,
  /^settings\.retract$/,
  /^plates\.\d+\.print$/,
];
/** A bar is there even where its group is not known: the word stays, and its group is none. */
const STAYS = /^(format|campaign|plates\.\d+\.bars\.[^.]+(\.group)?)$/;

/**
 * The same values without those that are `unknown`, whose paths are noted, and without keys that have no value. A list
 * with an `unknown` in it is unknown whole.
 */
function withoutUnknown(value: unknown, path: readonly string[], unknown: Set<string>): unknown {
  if (Array.isArray(value))
    return value.map((item, k) => withoutUnknown(item, [...path, String(k)], unknown));
  if (typeof value !== 'object' || value === null) return value;
  const kept: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
  for (const [key, inner] of Object.entries(value)) {
    const at = [...path, key].join('.');
    if (inner === null && path.length > 0) continue;
    const isUnknown =
      inner === 'unknown' ||
      (WHOLE_OR_UNKNOWN.some((whole) => whole.test(at))
        ? holdsUnknown(inner)
        : Array.isArray(inner) && inner.includes('unknown'));
    if (isUnknown && !STAYS.test(at)) unknown.add(at);
    else if (inner !== null || STAYS.test(at)) kept[key] = withoutUnknown(inner, [...path, key], unknown);
  }
  return kept;
}

function holdsUnknown(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return value === 'unknown';
  return Object.values(value).some(holdsUnknown);
}

/** True where the campaign says `unknown` to this or to what it is part of. */
export function isUnknown(campaign: Campaign, path: readonly string[]): boolean {
  return path.some((_, depth) => campaign.unknown.has(path.slice(0, depth + 1).join('.')));
}
