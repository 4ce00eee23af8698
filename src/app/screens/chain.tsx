import type { ChainView } from '../../server/api.ts';
import { type Gate, OTHER, TwentyRuns } from '../charts/twenty-runs.tsx';
import { Button, Headline, Problems, Trouble } from '../parts.tsx';
import {
  campaign,
  chain,
  compute,
  faults,
  links,
  outOfDate,
  planned,
  running,
  type ShownLink,
  tried,
} from '../state.ts';
import { ChainTable } from './chain-table.tsx';
import { LinkRow } from './link-row.tsx';

/** Does the plan hold, what breaks, what is the least I can change. */
export function Chain() {
  const now = chain.value;
  const shown = links.value;
  return (
    <>
      <div class="lede">
        <div>
          <Headline>
            {now?.headline ?? `Computing the chain of ${campaign.value?.name ?? 'this campaign'}`}
          </Headline>
          {now && <Sentences now={now} />}
        </div>
        {now?.runs && (
          <div class="runs">
            <TwentyRuns runs={now.runs} gates={gatesOf(shown)} />
          </div>
        )}
      </div>
      <Troubles now={now} />
      {now && (
        <>
          <div class="chain">
            <div class="chain-head" aria-hidden="true">
              <span>Link</span>
              <span>Share that holds, ruling check</span>
              <span class="sides">
                <span>◂ fails</span>
                <span>
                  <span>holds ▸</span>
                  <span>each dot: 1 run in 20</span>
                </span>
              </span>
              <span>Smallest change</span>
            </div>
            {shown.map((link, index) => (
              <LinkRow key={link.link.name} shown={link} index={index} />
            ))}
          </div>
          <p class="reading">
            How to read it: the heavy line is the limit of every link. Each link is drawn to its own spread,
            so the same distance from the line means the same risk. Filled dots hold; outlines hold on an
            assumed value; rings fail. A figure with a range is the median and 9 in 10 runs. {now.draws}{' '}
            draws, seed {now.seed}; the same seed gives the same answer.{now.invented && ' Invented data.'}
          </p>
          <ChainTable shown={shown} runs={now.runs} />
        </>
      )}
    </>
  );
}

function gatesOf(shown: readonly ShownLink[]): Gate[] {
  return [
    ...shown.map(({ link, figures }) => ({
      name: link.name,
      known: figures !== null,
      weak: figures?.weakest ?? false,
    })),
    { name: OTHER, known: true, weak: false },
  ];
}

function Sentences({ now }: { now: ChainView }) {
  return (
    <>
      {now.sentence && <p>{now.sentence}</p>}
      {now.scope && <p class="scope">{now.scope}</p>}
    </>
  );
}

function Troubles({ now }: { now: ChainView | null }) {
  const job = tried.value?.state ?? planned.value;
  const again = (
    <Button kind="main" onPress={() => void compute()}>
      Compute again
    </Button>
  );
  const problems = job?.problems.length ? job.problems : (now?.problems ?? []);
  const stopped = now?.state === 'stopped' || job?.state === 'stopped';
  return (
    <div class="stack troubles">
      <Trouble sentences={faults.value.map(({ sentence }) => sentence)}>{again}</Trouble>
      {outOfDate.value && (
        <Trouble sentences={[`${outOfDate.value} The figures here are from before.`]}>{again}</Trouble>
      )}
      {job?.state === 'failed' && problems.length === 0 && (
        <Trouble sentences={['This plan could not be computed. The campaign is as it was.']}>{again}</Trouble>
      )}
      {stopped && !running.value && (
        <div class="trouble">
          <p>{job?.doing || 'Stopped. The figures are those of the runs computed so far.'}</p>
          <div class="buttons">{again}</div>
        </div>
      )}
      <Problems problems={problems}>{job?.state === 'failed' ? again : undefined}</Problems>
    </div>
  );
}
