import { it } from 'vitest';
import { sentence } from '../problem.ts';
import { makeJob } from './job.ts';
import { readCampaign } from './read.ts';
import { SCENARIO, shippedCards } from './scenario.fixture.ts';

it('x', () => {
  const cards = shippedCards();
  const t = performance.now();
  const r = readCampaign(SCENARIO, { file: 'c.yaml', cards });
  console.log(performance.now() - t, r.problems.map(sentence).join('\n'));
  const j = makeJob(r.campaign!, cards, 'x');
  const e = j.entries;
  for (const k of [
    'dryer.temperature',
    'chamber.settles at',
    'chamber.settles in',
    'chamber.at start',
    'nozzle.bore',
    'nozzle.printed',
    'path.length',
    'path.tightest bend',
    'spool.net',
    'spool.strand left',
    'spool.limit of heat',
    'spool.hours open',
    'printer.clear below',
    'printer.limit of bed',
    'scale.resolution',
    'box.temperature',
    'sheet.size',
  ])
    console.log(k, JSON.stringify([e[k]!.value, e[k]!.law, e[k]!.from, e[k]!.path, e[k]!.card]));
  console.log(
    JSON.stringify(
      {
        ...j,
        entries: 0,
        sinceOpened: j.sinceOpened.map((s) => ({
          ...s,
          entries: Object.values(s.entries).map((q) => [q.key, q.value]),
        })),
      },
      null,
      1,
    ),
  );
  const r2 = readCampaign(
    'format: 1\ncampaign: x\nkit: { box: fan-oven, dryer: { card: fan-oven, at: "80 C" } }\nspool: unknown',
    { file: 'c.yaml', cards },
  );
  console.log(r2.problems.map(sentence).join('\n'));
  const j2 = makeJob(r2.campaign!, cards);
  console.log(
    JSON.stringify(j2.sinceOpened.map((s) => [s.in, s.time, Object.keys(s.entries).length])),
    JSON.stringify(j2.drying),
    j2.entries['spool.net'],
    j2.entries['box.temperature'],
    j2.entries['strand.melts at'],
    Object.keys(j2.entries).length,
  );
});
