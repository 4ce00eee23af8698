import type { BarsView, BarView } from '../../server/api.ts';
import { openBar } from '../bars.ts';
import { GroupKey } from '../charts/group-marks.tsx';
import { Chevron, capital } from '../parts.tsx';
import { BarPanel } from './bar-panel.tsx';

const rowId = (bar: string) => `bar-row-${bar.replace(/[^a-z0-9]+/gi, '-')}`;
const groupId = (group: string) => `bars-of-${group.replace(/[^a-z0-9]+/gi, '-')}`;

/** Opens a bar in the table and goes there. */
export function showBar(bar: string): void {
  openBar.value = bar;
  requestAnimationFrame(() => goTo(rowId(bar)));
}

/** Goes to the bars of a group. */
export function showGroup(group: string): void {
  goTo(groupId(group));
}

function goTo(id: string): void {
  const row = document.getElementById(id);
  if (!row) return;
  row.scrollIntoView({ block: 'start' });
  (row.querySelector<HTMLElement>('button') ?? row).focus({ preventScroll: true });
}

/** Treatments of a curve in a word or two; readings cut after the break are nothing to look at. */
const FLAGS: Readonly<Record<string, string>> = {
  grips: 'no extensometer',
  toe: 'slack taken out',
  toe_modulus: 'slack reaches the modulus',
  few: 'few readings',
  bent: 'bent where the modulus is read',
  slip: 'slipped in the grips',
  slip_modulus: 'no modulus, it slipped',
  ext_off: 'extensometer came off',
  no_strain: 'no strain',
  preload: 'high preload',
};

const numberOf = (bar: BarView, what: string) =>
  (bar.numbers.find((one) => one.what.startsWith(what))?.value ?? '–').split(' ± ')[0]!;

/** Every bar with its numbers, in the order of the groups; a row opens the way back from them. */
export function BarList({ view }: { view: BarsView }) {
  const asked = new Set(view.series.flatMap((one) => one.asked.map(({ bar }) => bar)));
  const several = view.series.length > 1;
  return (
    <table class="table fold bar-table">
      <thead>
        <tr>
          <th scope="col">Bar</th>
          <th scope="col">Strength</th>
          <th scope="col">Modulus</th>
          <th scope="col">Strain at break</th>
          <th scope="col">Plate</th>
          <th scope="col">Looks</th>
        </tr>
      </thead>
      {view.series.flatMap((series) =>
        series.groups.map(({ group }, k) => {
          const bars = view.bars.filter((bar) => bar.group === group && bar.condition === series.condition);
          return (
            <tbody key={`${series.condition} ${group}`}>
              <tr class="group" id={groupId(group)} tabIndex={-1}>
                <th colSpan={6} scope="rowgroup">
                  <GroupKey group={k} /> {capital(group)}
                  {several && <span class="small second">, {series.condition}</span>}
                </th>
              </tr>
              {bars.map((bar) => (
                <Row key={bar.bar} bar={bar} view={view} isAsked={asked.has(bar.bar)} />
              ))}
            </tbody>
          );
        }),
      )}
    </table>
  );
}

function Row({ bar, view, isAsked }: { bar: BarView; view: BarsView; isAsked: boolean }) {
  const open = openBar.value === bar.bar;
  const panel = `${rowId(bar.bar)}-panel`;
  const looks = [
    ...(bar.leftOut === null ? [] : [`left out: ${bar.leftOut}`]),
    ...(isAsked ? ['asked about'] : []),
    ...(bar.spare ? ['spare'] : []),
    ...bar.flags.flatMap(({ code }) => (code === 'tail' ? [] : [FLAGS[code] ?? code])),
  ];
  return (
    <>
      <tr data-row="bar" id={rowId(bar.bar)} class={bar.counts ? '' : 'not-counted'}>
        <td class="first wide">
          <button
            type="button"
            class="opener"
            aria-expanded={open}
            aria-controls={panel}
            data-row-focus=""
            onClick={() => {
              openBar.value = open ? null : bar.bar;
            }}
          >
            <b>{bar.bar}</b>
            <Chevron open={open} />
          </button>
        </td>
        <td class="figure strength">
          <b>{bar.strength}</b>
        </td>
        <td class="figure right-narrow">{numberOf(bar, 'modulus, regression')}</td>
        <td class="figure">{numberOf(bar, 'strain at break')}</td>
        <td class="figure right-narrow">plate {bar.plate}</td>
        <td class={`wide looks${looks.length > 0 ? '' : ' plain'}`}>{looks.join('; ') || 'counts'}</td>
      </tr>
      {open && (
        <tr class="panel" id={panel}>
          <td colSpan={6}>
            <BarPanel bar={bar} view={view} />
          </td>
        </tr>
      )}
    </>
  );
}
