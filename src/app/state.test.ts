import { describe, expect, it } from 'vitest';
import type { ChainView, LinkView, QuestionView } from '../server/api.ts';
import { faultsOf } from './api.ts';
import { hasMoved, weakestWords } from './links.ts';
import { problemWords } from './parts.tsx';
import { allAnswers, barsOf, barsText, isUnknown } from './reading.ts';
import { byLink, thatMatter } from './screens/inputs.tsx';
import { stepsOf } from './screens/number-card.tsx';
import { shownLinks } from './state.ts';

const link = (name: string, rest: object = {}) =>
  ({ name, state: 'done', ruling: null, ...rest }) as unknown as LinkView;
const chain = (...links: LinkView[]) => ({ links }) as unknown as ChainView;
const check = (share: string, columns: number[], answer = 'counts') => ({
  share,
  median: '',
  answer,
  strip: { dots: columns.map((column) => ({ column })) },
});

describe('the links on the screen', () => {
  it('keep the figures from before, not fresh, until their own come', () => {
    const before = chain(link('Dry', { ruling: {} }));
    const [waiting] = shownLinks(chain(link('Dry', { state: 'computing' })), before, null);
    expect(waiting).toMatchObject({ fresh: false, figures: before.links[0] });
    const [half] = shownLinks(chain(link('Dry', { state: 'computing', ruling: {} })), before, null);
    expect(half!.fresh).toBe(false);
    const [done] = shownLinks(chain(link('Dry', { ruling: {} })), before, null);
    expect(done!.fresh).toBe(true);
  });

  it('show no figures where none were ever computed, or the link has failed', () => {
    const before = chain(link('Dry', { ruling: {} }));
    expect(shownLinks(chain(link('Dry', { state: 'computing' })), null, null)[0]!.figures).toBeNull();
    expect(shownLinks(chain(link('Dry', { state: 'failed' })), before, null)[0]!.figures).toBeNull();
    expect(
      shownLinks(chain(link('Dry', { state: 'not computed yet' })), before, null)[0]!.figures,
    ).toBeNull();
  });

  it('have moved where share or dots differ from the plan as it stands', () => {
    expect(hasMoved(link('Dry', { ruling: check('64 %', [1]), before: check('64 %', [1]) }))).toBe(false);
    expect(hasMoved(link('Dry', { ruling: check('64 %', [2]), before: check('64 %', [1]) }))).toBe(true);
    expect(hasMoved(link('Dry', { ruling: check('88 %', [1]), before: check('64 %', [1]) }))).toBe(true);
    expect(hasMoved(link('Dry', { ruling: check('88 %', [1]), before: null }))).toBe(false);
  });

  it('name the weakest with the answer it speaks for; without a weak one, the least sure', () => {
    const shown = (links: LinkView[]) => shownLinks(chain(...links), null, null);
    const dry = { ruling: check('31 %', []), share: '31 %', shareValue: 0.31 };
    const hold = { ruling: check('97 %', [], 'comes off'), share: '97 %', shareValue: 0.97 };
    expect(weakestWords(shown([link('Dry', { ...dry, weakest: true }), link('Hold', hold)]))).toEqual({
      before: 'Weakest',
      name: 'Dry',
      share: '31 % count',
    });
    expect(weakestWords(shown([link('Hold', hold)]))).toEqual({
      before: 'Least sure',
      name: 'Hold',
      share: '97 % come off',
    });
  });
});

describe('refusals', () => {
  it('become sentences with place and what was expected, all of them', () => {
    const body = {
      errors: [
        {
          message: '"25:00" is not a time of day.',
          expected: '00:00 to 23:59',
          where: { file: 'campaign.yaml', line: 7, path: 'people.there' },
        },
        { message: 'Too many.' },
      ],
    };
    expect(faultsOf(body, 400)).toEqual([
      {
        sentence:
          'campaign.yaml, line 7, people.there: "25:00" is not a time of day. Expected 00:00 to 23:59.',
        path: 'people.there',
        words: '"25:00" is not a time of day. Expected 00:00 to 23:59.',
      },
      { sentence: 'Too many.', path: null, words: 'Too many.' },
    ]);
    expect(faultsOf(null, 502)[0]!.sentence).toContain('502');
  });

  it('say file and line once', () => {
    const problem = {
      sentence: 'a.gcode, line 12: not a move.',
      file: 'a.gcode',
      line: 12,
      level: 'stop' as const,
    };
    expect(problemWords(problem)).toBe(problem.sentence);
    expect(problemWords({ ...problem, sentence: 'Not a move.' })).toBe('a.gcode, line 12: Not a move.');
  });
});

describe('answers', () => {
  const field = (id: string, value = '') => ({
    id,
    label: id,
    kind: 'text' as const,
    choices: [],
    value,
    hint: '',
  });
  const question: QuestionView = {
    id: 'q',
    words: '',
    help: '',
    fields: [field('net', '750 g'), field('open')],
  };

  it('send what is pre-filled or answered, and leave out what is open or not known', () => {
    expect(allAnswers([question], {})).toEqual({ net: '750 g' });
    expect(allAnswers([question], { net: 'unknown', open: ' 2 h ' })).toEqual({ open: '2 h' });
  });

  it('are unknown only where no field of the question says anything', () => {
    expect(isUnknown(question, {})).toBe(false);
    expect(isUnknown(question, { net: 'unknown' })).toBe(true);
    expect(isUnknown(question, { net: '', open: '2 h' })).toBe(false);
  });

  it('say which bar is which and can be read back', () => {
    const bars = barsOf('1 flat, 2 on edge, 13 no bar');
    expect([...bars]).toEqual([
      [1, 'flat'],
      [2, 'on edge'],
      [13, 'no bar'],
    ]);
    expect(barsText(bars)).toBe('1 flat, 2 on edge, 13 no bar');
    expect(barsOf('').size).toBe(0);
  });
});

describe('inputs', () => {
  it('stand by link, the largest share first, those without one last', () => {
    const input = (name: string, of: string, share: number | null) =>
      ({ key: name, link: of, share }) as never;
    const groups = byLink([
      input('a', 'Dry', null),
      input('b', 'Hold', 0.1),
      input('c', 'Dry', 0.2),
      input('d', 'Dry', 0.5),
    ]);
    expect(groups.map(([name, all]) => [name, all.map(({ key }) => key)])).toEqual([
      ['Dry', ['d', 'c', 'a']],
      ['Hold', ['b']],
    ]);
  });

  it('are folded where they carry next to nothing, never where nobody said them', () => {
    const input = (key: string, share: number | null, from: string) =>
      ({ key, link: 'Dry', share, from }) as never;
    const kept = thatMatter([
      input('a', 0.3, 'Practice'),
      input('b', 0.01, 'Practice'),
      input('c', 0.01, 'Assumed'),
      input('d', null, 'Yours'),
    ]);
    expect(kept.map(({ key }) => key)).toEqual(['a', 'c']);
  });

  it('are measured in steps, one sentence each; a figure with a point is no end', () => {
    expect(stepsOf('Weigh the spool. Wait 2.5 h. Weigh it again.')).toEqual([
      'Weigh the spool.',
      'Wait 2.5 h.',
      'Weigh it again.',
    ]);
    expect(stepsOf(null)).toEqual([]);
  });
});
