import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { PrintView } from '../../server/api.ts';
import { Chevron, Headline, Trouble } from '../parts.tsx';
import { addressOf } from '../router.ts';
import { faults, loadPrints, prints } from '../state.ts';
import { PrintCard } from './print-card.tsx';

/** The files of the campaign's plates: what each asks of the kit, and its parts on the sheet. */
export function Prints() {
  const views = prints.value;
  const opened = useSignal<string | null>(null);
  useEffect(() => {
    if (views === null) void loadPrints();
  }, [views]);
  return (
    <>
      <div class="lede">
        <div>
          <Headline>{headline(views)}</Headline>
          <p>Each file is a plate. A row opens its sheet from above and what it asks of the kit.</p>
        </div>
        <a class="button" href={addressOf('open')}>
          Open other G-code
        </a>
      </div>
      <Trouble sentences={faults.value.map(({ sentence }) => sentence)} />
      {views && views.length > 0 && (
        <div class="card">
          <table class="table fold print-table">
            <thead>
              <tr>
                <th scope="col">Plate</th>
                <th scope="col">File</th>
                <th scope="col">Bars</th>
                <th scope="col">Layers</th>
                <th scope="col">Time</th>
                <th scope="col">Looks</th>
              </tr>
            </thead>
            <tbody>
              {views.map((view) => (
                <PrintRow
                  key={keyOf(view)}
                  view={view}
                  open={opened.value === keyOf(view)}
                  onOpen={() => {
                    opened.value = opened.value === keyOf(view) ? null : keyOf(view);
                  }}
                />
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}

const keyOf = (view: PrintView) => `${view.plate ?? ''} ${view.file}`;

/** The page's answer, from the data. */
export function headline(views: readonly PrintView[] | null): string {
  if (views === null) return 'Reading the prints of this campaign';
  if (views.length === 0) return 'No plate of this campaign has a file yet';
  const bad = views.filter((view) => !view.usable).length;
  const all = `${views.length} ${views.length === 1 ? 'print' : 'prints'}`;
  if (bad > 0) return `${bad} of ${all} cannot be used as ${bad === 1 ? 'it is' : 'they are'}`;
  const different = views.filter((view) => view.against?.some((row) => row.answer === 'different')).length;
  if (different > 0) return `${different} of ${all} ${different === 1 ? 'differs' : 'differ'} from the plan`;
  return views.length === 1 ? 'The print can be used' : `All ${all} can be used`;
}

function PrintRow({ view, open, onOpen }: { view: PrintView; open: boolean; onOpen: () => void }) {
  const id = `print-${(view.plate ?? view.file).replace(/[^a-z0-9]+/gi, '-')}`;
  const name = view.plate ?? view.file;
  const stops = view.problems.filter((problem) => problem.level === 'stop').length;
  const notes = view.problems.length - stops;
  const different = view.against?.filter((row) => row.answer === 'different').length ?? 0;
  const looks = [
    stops > 0 ? `${stops} ${stops === 1 ? 'fault' : 'faults'}` : '',
    different > 0 ? `${different} different from the plan` : '',
    notes > 0 ? `${notes} to know` : '',
  ].filter(Boolean);
  return (
    <>
      <tr data-row="print">
        <td class="wide first">
          <button
            type="button"
            class="opener"
            aria-expanded={open}
            aria-controls={id}
            data-row-focus=""
            onClick={onOpen}
          >
            <b>{view.plate === null ? name : `Plate ${name}`}</b>
            <Chevron open={open} />
          </button>
        </td>
        <td class="wide file">{view.file}</td>
        <td>{/^\d+$/.test(view.bars) ? `${view.bars} bars` : view.bars}</td>
        <td class="figure right-narrow">{view.layers} layers</td>
        <td class="figure">{view.time}</td>
        <td class="wide">
          {looks.length > 0 ? looks.join(', ') : view.against ? 'as the plan says' : 'nothing to note'}
        </td>
      </tr>
      {open && (
        <tr class="panel" id={id}>
          <td colSpan={6}>
            <h2 class="panel-head">{view.headline}</h2>
            <PrintCard print={view} />
          </td>
        </tr>
      )}
    </>
  );
}
