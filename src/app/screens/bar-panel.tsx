import type { BarsView, BarView } from '../../server/api.ts';
import { BarPlace } from '../charts/bar-place.tsx';
import { OneCurve } from '../charts/one-curve.tsx';
import { capital } from '../parts.tsx';
import { CountAgain, LeaveOut } from './left-out.tsx';

/** The way back from a number: its curve and file, the bar as measured, its place on the plate, the spool that day. */
export function BarPanel({ bar, view }: { bar: BarView; view: BarsView }) {
  const plate = view.plates.find((one) => one.plate === bar.plate);
  return (
    <div class="bar-panel">
      <div class="bar-curve">
        <h3>Curve of {bar.bar}</h3>
        <OneCurve
          points={bar.curve}
          xTicks={bar.xTicks}
          yTicks={bar.yTicks}
          xLabel="strain, %"
          yLabel="stress, MPa"
          finding={`Curve of ${bar.bar}, strength ${bar.strength}.`}
        />
        <Facts lines={bar.from} />
      </div>
      <div>
        <h3>
          {bar.bar}, {bar.group}, {bar.condition}
        </h3>
        {bar.leftOut !== null && (
          <p>
            <b>Left out.</b> {capital(bar.leftOut)}.
          </p>
        )}
        {bar.note !== '' && bar.leftOut === null && <p class="second">Noted: {bar.note}</p>}
        {[...bar.questions, ...bar.flags.map(({ sentence }) => sentence)].map((words) => (
          <p class="note" key={words}>
            {words}
          </p>
        ))}
        <Facts lines={bar.numbers} />
        <h3>As measured</h3>
        <Facts lines={bar.measured} />
        <div class="bar-acts">
          {bar.counts ? <LeaveOut bar={bar} reasons={view.reasons} /> : <CountAgain bar={bar.bar} />}
        </div>
      </div>
      <div>
        <h3>Plate {bar.plate}, from above</h3>
        {plate ? (
          <>
            <BarPlace plate={plate} bar={bar.bar} />
            <Facts lines={plate.facts} />
          </>
        ) : (
          <p class="note">The campaign does not say more of this plate.</p>
        )}
      </div>
    </div>
  );
}

function Facts({ lines }: { lines: BarView['numbers'] }) {
  return (
    <dl class="facts-list tight">
      {lines.map(({ what, value }) => [
        <dt key={what}>{capital(what)}</dt>,
        <dd key={`${what} is`} class={/SHA/.test(what) ? 'hash' : ''}>
          {value}
        </dd>,
      ])}
    </dl>
  );
}
