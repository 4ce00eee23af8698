import { useEffect } from 'preact/hooks';
import type { BarsView } from '../../server/api.ts';
import {
  barsFaults,
  barsJob,
  barsView,
  bringCurves,
  loadBars,
  openBar,
  queue,
  stopBarsHere,
} from '../bars.ts';
import { Button, Caution, capital, Headline, Progress, Trouble } from '../parts.tsx';
import { addressOf } from '../router.ts';
import { campaign } from '../state.ts';
import { BarList, showBar } from './bar-list.tsx';
import { BringCurves, ChooseCurves } from './bars-bring.tsx';
import { Series } from './bars-series.tsx';

/** What the bars held, what may be said of it, and the way back from every number. */
export function Bars() {
  const view = barsView.value;
  const job = barsJob.value;
  const id = campaign.value?.id;
  useEffect(() => {
    if (id !== undefined && barsJob.peek() === null) void loadBars();
  }, [id]);
  const isBroken = view !== null && view.series.length > 0;
  const running = job?.state === 'running' ? job : null;
  const settling = view?.series[0]?.more ?? [];
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping is an extra way; the button does the same
    <div
      class="bars-page"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        bringCurves([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      <div class="lede">
        <div>
          <Headline>{view?.headline ?? 'Reading the curves of this campaign'}</Headline>
          {view && <p>{view.lead}</p>}
        </div>
        {isBroken && (
          <div class="buttons">
            <ChooseCurves>Bring in curves</ChooseCurves>
            <a class="button main" href={addressOf('report')}>
              Make the report
            </a>
          </div>
        )}
      </div>
      <Trouble sentences={barsFaults.value}>
        <Button onPress={() => void loadBars()}>Compute again</Button>
        {!isBroken && <ChooseCurves>Bring in curves</ChooseCurves>}
      </Trouble>
      {job?.state === 'stopped' && (
        <p class="note">
          Stopped. The bars stand without the water at their prints.{' '}
          <Button kind="quiet" onPress={() => void loadBars()}>
            Compute again
          </Button>
        </p>
      )}
      {running && (
        <div class="busy-line">
          <Progress share={running.share} words={running.doing || 'Reading curves'} />
          <Button onPress={() => void stopBarsHere()}>Stop here</Button>
        </div>
      )}
      {isBroken && view.open && (
        <section class="card pad open-question" aria-labelledby="open-title">
          <h2 id="open-title">What would settle it</h2>
          {settling.length === 0 && <p>{view.open}</p>}
          {settling.length > 0 && (
            <ul class="plain-list">
              {settling.map((words) => (
                <li key={words}>{words}</li>
              ))}
            </ul>
          )}
        </section>
      )}
      {view && !isBroken && <Cautions cautions={view.cautions} />}
      {view && (!isBroken || queue.value.length > 0) && <BringCurves slim={isBroken} />}
      {isBroken && <Found view={view} />}
    </div>
  );
}

function Cautions({ cautions }: { cautions: BarsView['cautions'] }) {
  return (
    <div class="cautions">
      {cautions.map(({ hazard, words }) => (
        <Caution key={hazard} hazard={hazard} words={words} />
      ))}
    </div>
  );
}

function Found({ view }: { view: BarsView }) {
  const several = view.series.length > 1;
  return (
    <>
      {view.series.map((series, k) => (
        <section
          key={series.condition}
          class="series"
          aria-label={several ? capital(series.condition) : undefined}
        >
          {several && (
            <div class="series-head">
              <h2>{capital(series.condition)}</h2>
              <p class="small second">Never put together with bars of another condition.</p>
            </div>
          )}
          <Series
            series={series}
            view={view}
            // What would settle the question stands at its top.
            more={k === 0 && view.open !== null ? [] : series.more}
            lit={openBar.value}
            onPick={showBar}
          />
        </section>
      ))}
      <Cautions cautions={view.cautions} />
      <section class="card pad" aria-labelledby="results-title">
        <h2 id="results-title">Every result, and where it comes from</h2>
        <p class="small second">
          A row opens its curve, its file, its place on the plate and the spool that day.
        </p>
        {view.lacking.length > 0 && (
          <ul class="stack lacking">
            {view.lacking.map((words) => (
              <li class="note" key={words}>
                {words}
              </li>
            ))}
          </ul>
        )}
        <BarList view={view} />
      </section>
      <div class="two-cards">
        <section class="card pad" aria-labelledby="budget-title">
          <h2 id="budget-title">What to measure better first</h2>
          <ul class="stack plain-list">
            {view.budget.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
        <section class="card pad" aria-labelledby="weak-title">
          <h2 id="weak-title">What this does not say</h2>
          <ul class="stack plain-list">
            {view.weak.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      </div>
      <details class="card pad how">
        <summary>How it was computed</summary>
        <dl class="facts-list">
          {view.method.map(({ what, value }) => [
            <dt key={what}>{capital(what)}</dt>,
            <dd key={`${what} is`}>{value}</dd>,
          ])}
        </dl>
      </details>
    </>
  );
}
