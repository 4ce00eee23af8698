import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { sentence } from '../problem.ts';
import { makeJob } from './job.ts';
import { PARTS, quantitiesOf } from './parts.ts';
import { readCampaign } from './read.ts';
import { shippedCards } from './scenario.fixture.ts';
import { campaignSchema } from './schema.ts';
import { setInCampaign } from './write.ts';

/**
 * Goal: the page of the campaign file tells the truth. Method: its example is read; each key of the schema is looked
 * for on it; `unknown` is put in the place of each value of the example. Wrong files have a folder of their own.
 */
const cards = shippedCards();
const page = readFileSync('docs/campaign-file.md', 'utf8');
const example = /```yaml\n([\s\S]*?)```/.exec(page)![1]!;
const read = (text: string) => readCampaign(text, { file: 'campaign.yaml', cards });

describe('the page of the campaign file', () => {
  it('has an example that reads without a complaint', () => {
    const { campaign, problems } = read(example);
    expect(problems.map(sentence)).toEqual([]);
    expect(makeJob(campaign!, cards).plates.map(({ name }) => name)).toEqual(['A', 'B']);
  });

  it('names every key that is not an entry of a card', () => {
    const entries = new Set(PARTS.flatMap((part) => Object.keys(quantitiesOf(cards, part))));
    const keys = new Set<string>();
    const walk = (schema: unknown): void => {
      if (schema instanceof z.ZodObject)
        for (const [key, inner] of Object.entries(schema.shape)) {
          keys.add(key);
          walk(inner);
        }
      else if (schema instanceof z.ZodOptional) walk(schema.unwrap());
      else if (schema instanceof z.ZodArray) walk(schema.element);
      else if (schema instanceof z.ZodRecord) walk(schema.valueType);
      else if (schema instanceof z.ZodPipe) walk(schema.out);
    };
    walk(campaignSchema(cards));
    const own = [...keys].filter((key) => !entries.has(key));
    expect(own.length).toBeGreaterThan(50);
    expect(own.filter((key) => !page.includes(key))).toEqual([]);
  });
});

// A hundred readings of the whole example: on a machine with other work longer than the usual time of a test.
describe('unknown', () => {
  const paths = (value: unknown, path: readonly string[] = []): string[] =>
    typeof value === 'object' && value !== null
      ? [
          ...(path.length > 0 ? [path.join('.')] : []),
          ...Object.entries(value).flatMap(([key, inner]) => paths(inner, [...path, key])),
        ]
      : [path.join('.')];
  const all = paths(parse(example)).filter((path) => path !== 'format' && path !== 'campaign');

  it('may stand at any place of a campaign', () => {
    expect(all.length).toBeGreaterThan(100);
    for (const path of all) {
      const { campaign, problems } = read(setInCampaign(example, path, 'unknown'));
      // What has no value on any card, such as the name of a group, is still missing; nothing else may be wrong.
      const others = problems.filter(({ code }) => !['missing', 'unknown-name', 'either-or'].includes(code));
      expect(others.map(sentence), path).toEqual([]);
      if (campaign) expect(Object.keys(makeJob(campaign, cards).entries).length).toBeGreaterThan(250);
    }
  });

  it('is refused only where nothing can be assumed', () => {
    const refused = all.filter((path) => read(setInCampaign(example, path, 'unknown')).campaign === null);
    const forms = [...new Set(refused.map((path) => path.replace(/\d+/g, '*')))].sort();
    // Names that others point at, the zone of booked times, and what makes an event or a group one.
    expect(forms).toEqual([
      'events.*.at',
      'events.*.did',
      'events.*.plate',
      'events.*.saw',
      'events.*.weighed',
      'groups',
      'groups.*',
      'groups.*.bar',
      'groups.*.bars',
      'groups.*.name',
      'groups.*.orientation',
      'people',
      'people.zone',
      'plates',
      'plates.*',
      'plates.*.bars',
      'plates.*.name',
    ]);
  });
});

describe('a campaign', () => {
  it('needs a format and a name, nothing else', () => {
    expect(read('format: 1\ncampaign: x\n').problems).toEqual([]);
    expect(read('{}\n').problems.map(({ code }) => code)).toEqual(['missing', 'missing']);
  });

  it('may leave the value of a key empty', () => {
    expect(read('format: 1\ncampaign: x\nkit:\nspool: { net: }\n').problems).toEqual([]);
  });

  it('may carry a mark of its encoding and line ends of another system', () => {
    expect(read('\ufeffformat: 1\r\ncampaign: x\r\n').problems).toEqual([]);
  });

  it('has no key that reaches into the program', () => {
    const { problems } = read('format: 1\ncampaign: x\n__proto__: { invented: yes }\nconstructor: 1\n');
    expect(problems.map(({ code }) => code)).toEqual(['unknown-key', 'unknown-key']);
  });
});
