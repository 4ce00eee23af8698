import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { SCENARIO } from './scenario.fixture.ts';
import { setInCampaign } from './write.ts';

/**
 * Goal: a change of one value leaves every other sign of the file alone. Method: the lines that differ are counted, on
 * chosen changes and on any of the scenario's values.
 */
function differing(before: string, after: string): number {
  const [a, b] = [before.split('\n'), after.split('\n')];
  return a.length === b.length ? a.filter((line, k) => line !== b[k]).length : Number.NaN;
}

const block = `# the plan
format: 1   # stays
campaign: small

kit:
  # warm one
  dryer: fan-oven
  box: unknown
  scale:
    resolution: "1 g"  # kitchen
spool:
room: { temperature: "21 C" }
`;

describe('one value set in a campaign', () => {
  it.each([
    ['kit.dryer.for', '12 h', 'for: "12 h", flip: "every 5 h" } # as usual'],
    ['kit.dryer.flip', 'no', 'flip: no } # as usual'],
    ['kit.dryer.volume', '9 l', 'flip: "every 5 h", volume: "9 l" } # as usual'],
    ['groups.0.bars', '8', 'bars: 8 }'],
    ['plates.0.bars.2', 'upright', '{ 1: flat, 2: upright, 3: upright, 4: upright }'],
    ['plates.1.print', '{ gcode: b.gcode }', 'print: { gcode: b.gcode }, bars: { 1: flat, 2: upright }'],
    ['want.finish by', '2027-03-15', 'finish by: 2027-03-15 }'],
    ['people.zone', 'Europe/Graz', '  zone: "Europe/Graz"'],
  ])('changes its line alone: %s', (path, value, line) => {
    const after = setInCampaign(SCENARIO, path, value);
    expect(differing(SCENARIO, after)).toBe(1);
    expect(after).toContain(line);
  });

  it.each([
    ['kit.dryer.for', '8 h', '  dryer: { card: fan-oven, for: "8 h" }'],
    ['kit.box.at', '65 C', '  box: { at: "65 C" }'],
    ['kit.scale.resolution', '0.1 g', '    resolution: "0.1 g"  # kitchen'],
    ['spool.net', '750 g', 'spool: { net: "750 g" }'],
    ['room.humidity', '45 %RH', 'room: { temperature: "21 C", humidity: "45 %RH" }'],
  ])('works in a file of another layout: %s', (path, value, line) => {
    const after = setInCampaign(block, path, value);
    expect(differing(block, after)).toBe(1);
    expect(after.split('\n')).toContain(line);
  });

  it('adds a key as a line of its own, after the comment of the line before', () => {
    const after = setInCampaign(block, 'kit.scale.drift', '0.1 g');
    expect(after).toBe(block.replace('# kitchen\n', '# kitchen\n    drift: "0.1 g"\n'));
  });

  it('adds an event to a list, and the first one to a file without events', () => {
    const event = '{ at: 2027-03-02 18:20, weighed: "1235 g" }';
    expect(setInCampaign(SCENARIO, 'events.-', event)).toBe(`${SCENARIO.trimEnd()}\n  - ${event}\n`);
    expect(setInCampaign(block, 'events.-', event)).toBe(`${block.trimEnd()}\nevents:\n  - ${event}\n`);
  });

  it('takes a key out again', () => {
    const more = setInCampaign(SCENARIO, 'kit.dryer.volume', '9 l');
    expect(setInCampaign(more, 'kit.dryer.volume', null)).toBe(SCENARIO);
    const line = setInCampaign(block, 'kit.scale.drift', '0.1 g');
    expect(setInCampaign(line, 'kit.scale.drift', null)).toBe(block);
  });

  it('puts a list that stands line by line into one line, its comments before it, all else as it was', () => {
    const lines = `kit:
  box:
    at: "65 C" # warm
    # as measured
    path: # from the spool
      # first the tube
      - tube: "0.7 m"
      - bend: "30 mm x 90 deg" # behind the machine
    tube: { purge: "5 g" } # weighed
`;
    const after = setInCampaign(lines, 'kit.box.path', '[{ tube: "0.3 m" }]');
    const without = after.replace(/^ *# (from the spool|first the tube|behind the machine)\n/gm, '');
    expect(after.length - without.length).toBe(
      '    # from the spool    # first the tube    # behind the machine'.length + 3,
    );
    expect(without).toBe(`kit:
  box:
    at: "65 C" # warm
    # as measured
    path: [{ tube: "0.3 m" }]
    tube: { purge: "5 g" } # weighed
`);
  });

  it('keeps the line ends of another system', () => {
    const windows = block.replaceAll('\n', '\r\n');
    const after = setInCampaign(windows, 'kit.scale.drift', '0.1 g');
    expect(after.replaceAll('\r\n', '')).not.toContain('\n');
  });

  it('refuses a path through a value that holds no keys', () => {
    expect(() => setInCampaign(SCENARIO, 'groups.0.bars.most', '8')).toThrow(/cannot hold "most"/);
  });
});

type Leaf = Readonly<{ path: string; value: string }>;
function leaves(value: unknown, path: readonly string[] = []): Leaf[] {
  if (typeof value === 'object' && value !== null)
    return Object.entries(value).flatMap(([key, inner]) => leaves(inner, [...path, key]));
  return [{ path: path.join('.'), value: String(value) }];
}

describe('any value of the scenario', () => {
  const all = leaves(parse(SCENARIO, { version: '1.2' }));

  it('written back as it is leaves the file byte for byte', () => {
    expect(all.length).toBeGreaterThan(60);
    for (const { path, value } of all) expect(setInCampaign(SCENARIO, path, value), path).toBe(SCENARIO);
  });

  it('changed to any word changes its line alone and reads back as that word', () => {
    const word = fc.oneof(
      fc.stringMatching(/^[a-z][a-z0-9 :#,{}"'-]{0,12}[a-z]$/),
      fc.stringMatching(/^[1-9][0-9]{0,3}(\.[1-9])? (C|mm|h|g|%RH)$/),
    );
    fc.assert(
      fc.property(fc.constantFrom(...all), word, ({ path }, value) => {
        const after = setInCampaign(SCENARIO, path, value);
        expect(differing(SCENARIO, after)).toBeLessThanOrEqual(1);
        const read = leaves(parse(after, { version: '1.2' })).find((leaf) => leaf.path === path);
        expect(read?.value).toBe(value);
      }),
      { seed: 20261125, numRuns: 150 },
    );
  });
});
