import type { BarsView, GroupRow, SeriesView } from '../../server/api.ts';
import { Covariate } from '../charts/covariate.tsx';
import { Curves } from '../charts/curves-chart.tsx';
import { EveryBar } from '../charts/every-bar.tsx';
import { GroupKey } from '../charts/group-marks.tsx';
import { capital } from '../parts.tsx';
import { useSize } from '../size.ts';
import { showGroup } from './bar-list.tsx';
import { LeftOut } from './left-out.tsx';

type Props = Readonly<{
  series: SeriesView;
  view: BarsView;
  /** How many more bars or plates would settle what is open here. */
  more: readonly string[];
  lit: string | null;
  onPick: (bar: string) => void;
}>;

/** Bars of one condition: curves, marks, groups, sentences, those left out, and what should not matter. */
export function Series({ series, view, more, lit, onPick }: Props) {
  const names = series.groups.map(({ group }) => group);
  return (
    <>
      <div class="two-cards">
        <section class="card pad" aria-label={`Every curve, ${series.condition}`}>
          <h2>Every curve</h2>
          <Curves chart={series.curves} groups={names} onPick={onPick} />
        </section>
        <section class="card pad" aria-label={`Every bar, ${series.condition}`}>
          <h2>Every bar</h2>
          <h3>Strength, MPa</h3>
          <EveryBar
            chart={series.everyBar}
            means={series.groups.map(({ strength }) => strength)}
            lit={lit}
            onPick={onPick}
          />
          <h3>Modulus, GPa</h3>
          <EveryBar
            chart={series.everyModulus}
            means={series.groups.map(({ modulus }) => modulus)}
            lit={lit}
            onPick={onPick}
          />
          <p class="small second key-line">
            Marks: bars; open: left out. Line: mean and its 95 % interval. Bracket: 9 in 10 bars lie above it,
            95 % sure.
          </p>
        </section>
      </div>
      <Groups rows={series.groups} />
      <section class="card pad" aria-label={`What you can say, ${series.condition}`}>
        <h2>What you can say</h2>
        <ul class="sayings">
          {series.say.map(({ words, small }) => (
            <li key={words}>
              <p>{words}</p>
              <p class="small second">{small}</p>
            </li>
          ))}
        </ul>
        {more.length > 0 && (
          <div class="more-bars">
            <h3>How many more would settle it</h3>
            {more.map((words) => (
              <p key={words}>{words}</p>
            ))}
          </div>
        )}
      </section>
      <LeftOut series={series} view={view} onPick={onPick} />
      {series.covariates.length > 0 && (
        <section class="card pad" aria-label={`What should not matter, ${series.condition}`}>
          <h2>What should not matter, against strength</h2>
          <p class="small second">Shown so that a mixing-up is seen; never corrected for.</p>
          <p class="map-key">
            {names.map((name, group) => (
              <span key={name}>
                <GroupKey group={group} />
                {name}
              </span>
            ))}
          </p>
          <div class="covariates">
            {series.covariates.map((one) => (
              <Covariate key={one.name} view={one} groups={names} lit={lit} onPick={onPick} />
            ))}
          </div>
        </section>
      )}
    </>
  );
}

const COLUMNS: readonly Readonly<{
  key: keyof GroupRow &
    ('bars' | 'strength' | 'spread' | 'cv' | 'bound' | 'modulus' | 'strainAtStrength' | 'strainAtBreak');
  lines: readonly [string, string];
}>[] = [
  { key: 'bars', lines: ['bars', ''] },
  { key: 'strength', lines: ['strength, MPa', 'mean ± 95 %'] },
  { key: 'spread', lines: ['spread s,', 'MPa'] },
  { key: 'cv', lines: ['s / mean,', '%'] },
  { key: 'bound', lines: ['9 in 10 bars above,', '95 % sure, MPa'] },
  { key: 'modulus', lines: ['modulus, GPa', 'mean ± 95 %'] },
  { key: 'strainAtStrength', lines: ['strain at strength, %', 'mean ± 95 %'] },
  { key: 'strainAtBreak', lines: ['strain at break, %', 'mean ± 95 %'] },
];

/** Width of its place under which the table of groups is turned: one column a group. */
const TURNED_UNDER = 640;

function Groups({ rows }: { rows: readonly GroupRow[] }) {
  const [place, { width }] = useSize<HTMLElement>(1200);
  const notes = rows.flatMap(({ group, notes: of, bound, boundWords }) =>
    [...of, ...(bound === '–' ? [`No lower bound: ${boundWords}`] : [])].map((words) => ({ group, words })),
  );
  return (
    <section class="card pad groups-card" aria-label="Groups" ref={place}>
      {width < TURNED_UNDER ? <Turned rows={rows} /> : <Wide rows={rows} />}
      {notes.length > 0 && (
        <ul class="stack group-notes">
          {notes.map(({ group, words }) => (
            <li class="small second" key={`${group} ${words}`}>
              {capital(group)}: {words}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** The number of a group leads to its bars. */
function Strength({ row }: { row: GroupRow }) {
  return (
    <button
      type="button"
      class="number-link"
      onClick={() => showGroup(row.group)}
      aria-label={`${row.strength} MPa, the bars of ${row.group}`}
    >
      {row.strength}
    </button>
  );
}

function Wide({ rows }: { rows: readonly GroupRow[] }) {
  return (
    <table class="groups">
      <thead>
        <tr>
          <th scope="col">Built</th>
          {COLUMNS.map(({ key, lines }) => (
            <th scope="col" key={key}>
              {lines[0]}
              <br />
              {lines[1]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row, group) => (
          <tr key={row.group}>
            <th scope="row">
              <div class="built">
                <GroupKey group={group} />
                <span>
                  <b>{capital(row.group)}</b>
                  <span class="small second">
                    {row.built}; plate{row.plates.includes(',') ? 's' : ''} {row.plates}
                  </span>
                </span>
              </div>
            </th>
            {COLUMNS.map(({ key }) => (
              <td key={key}>{key === 'strength' ? <Strength row={row} /> : row[key]}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** On a phone a column a group; the name of a figure stands above its figures. */
function Turned({ rows }: { rows: readonly GroupRow[] }) {
  return (
    <div class="turned-place">
      <table class="groups turned">
        <thead>
          <tr>
            {rows.map((row, group) => (
              <th scope="col" key={row.group} id={`turned-${group}`}>
                <GroupKey group={group} />
                <b>{capital(row.group)}</b>
              </th>
            ))}
          </tr>
        </thead>
        {COLUMNS.map(({ key, lines }) => (
          <tbody key={key}>
            <tr>
              <th colSpan={rows.length} scope="rowgroup" id={`turned-${key}`}>
                {`${lines[0]} ${lines[1]}`.trim()}
              </th>
            </tr>
            <tr>
              {rows.map((row, group) => (
                <td key={row.group} headers={`turned-${group} turned-${key}`}>
                  {key === 'strength' ? <Strength row={row} /> : row[key]}
                </td>
              ))}
            </tr>
          </tbody>
        ))}
      </table>
    </div>
  );
}
