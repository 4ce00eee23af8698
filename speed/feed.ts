import { Draws } from '../src/engine/draws.ts';
import { dry } from '../src/engine/links/dry.ts';
import { feed } from '../src/engine/links/feed.ts';
import { stayDry } from '../src/engine/links/stay-dry.ts';
import { narrow } from '../src/work/assess.ts';
import { assessed, evenlyDried, jobOf, print } from '../tests/facts/campaign-scenes.ts';

/** Least of some repetitions [ms], after one that warms up. */
function time(repeat: number, work: () => void): number {
  work();
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < repeat; i++) {
    const from = performance.now();
    work();
    least = Math.min(least, performance.now() - from);
  }
  return least;
}

const ms = (x: number) => `${x < 10 ? x.toFixed(2) : x.toFixed(0)} ms`;

/** A week: seven prints of six hours, one a day, from a heated box. */
const WEEK = Array.from({ length: 7 }, (_, k) => print(String.fromCharCode(65 + k), 0.5 + 24 * k, 6));
const DAY = WEEK.slice(0, 1);

/** Stay dry and Feed over a week: one draw, growth with draws and with days, and the share of each link. */
export async function measure(): Promise<{
  title: string;
  rows: { what: string; value: string; note: string }[];
}> {
  const text = `kit: { box: { card: heated-box, path: [{ tube: "0.7 m" }, { bend: "60 mm x 90 deg" }, { bend: "40 mm x 45 deg" }] } }
spool: { net: "1000 g", body: plastic, dry at most: "100 C" }
`;
  const scene = (prints: typeof WEEK, count: number) => {
    const job = jobOf(text, prints);
    const dried = evenlyDried(job, count, 0.001, 0.002);
    const [stayJob, feedJob] = [narrow(job, stayDry), narrow(job, feed)];
    const range = { seed: 7, from: 0, to: count };
    const stay = () => stayDry.assess(stayJob, new Draws(stayJob.entries, range), { Dry: dried }, () => {});
    const before = { Dry: dried, 'Stay dry': stay() };
    return {
      stay: () => void stay(),
      feed: () => void feed.assess(feedJob, new Draws(feedJob.entries, range), before, () => {}),
    };
  };
  const few = scene(WEEK, 32);
  const many = scene(WEEK, 256);
  const short = scene(DAY, 32);
  const stayFew = time(5, few.stay);
  const stayMany = time(2, many.stay);
  const feedMany = time(3, many.feed);
  const stayDay = time(5, short.stay);
  const wholeJob = jobOf(
    text.replace('spool: {', 'spool: { since opened: [{ in: room, for: "2 d" }],'),
    WEEK,
  );
  const driedJob = narrow(wholeJob, dry);
  const dryFew = time(
    3,
    () => void dry.assess(driedJob, new Draws(driedJob.entries, { seed: 7, from: 0, to: 32 }), {}, () => {}),
  );
  const chain = time(1, () => void assessed(wholeJob, 32));
  return {
    title: 'From the box to the drive',
    rows: [
      {
        what: 'Stay dry and Feed, 256 draws, a week of seven prints, one core',
        value: ms(stayMany + feedMany),
        note: 'goal 10 s on two',
      },
      { what: 'Stay dry, one draw', value: ms(stayMany / 256), note: '6 x 6 cells, 8 shells' },
      { what: 'Feed, one draw', value: ms(feedMany / 256), note: 'two bends, every half hour of printing' },
      {
        what: '256 draws by 32 draws',
        value: (stayMany / stayFew).toFixed(2),
        note: '8 if every draw costs the same',
      },
      {
        what: 'a week by a day',
        value: (stayFew / stayDay).toFixed(2),
        note: '7 if every day costs the same',
      },
      { what: 'Stay dry by Dry', value: (stayFew / dryFew).toFixed(2), note: 'the same draws' },
      { what: 'Dry, Stay dry and Feed, 32 draws', value: ms(chain), note: 'one core' },
    ],
  };
}
