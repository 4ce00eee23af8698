import { useSignal } from '@preact/signals';
import type { PrintView } from '../../server/api.ts';
import { type Part, SheetMap } from '../charts/sheet-map.tsx';
import { Button, Problems, WideTable } from '../parts.tsx';

/** What a part may be, chosen beside the drawing; null where nothing is asked. */
export type Choosing = Readonly<{
  choices: readonly Readonly<{ value: string; label: string }>[];
  of: (number: number) => string;
  choose: (number: number, value: string) => void;
}> | null;

/** Supports and low parts beyond this many stand folded away under the bars. */
const FOLDED_FROM = 3;

/** The parts of a print on the sheet from above, with their table; each lights the other on hover and focus. */
export function PartsOnSheet({ print, choosing }: { print: PrintView; choosing: Choosing }) {
  const pointed = useSignal<number | null>(null);
  const pinned = useSignal<number | null>(null);
  const lit = pointed.value ?? pinned.value;
  const parts = print.sheet.parts;
  const allShown = useSignal(false);
  const plain = parts.filter((part) => part.kind !== 'support' && part.kind !== 'low');
  const folded = parts.length - plain.length > FOLDED_FROM && !allShown.value;
  const rows = folded ? plain : parts;
  const columns = [...new Set(parts.flatMap((part) => part.rows.map((row) => row.what)))];
  const point = (number: number | null) => {
    pointed.value = number;
  };
  return (
    <>
      <figure>
        <SheetMap print={print} lit={lit} onPoint={point} />
        <figcaption class="map-key">
          {orientations(parts).map((orientation) => (
            <span key={orientation}>
              <svg width="26" height="14" aria-hidden="true">
                <rect
                  class={`part bar ${orientation.replace(' ', '-')}`}
                  x="1"
                  y="1"
                  width="24"
                  height="12"
                />
              </svg>
              {orientation}
            </span>
          ))}
          <span>Seen from above, door side at the bottom; mm</span>
        </figcaption>
      </figure>
      {parts.length > 0 && (
        <WideTable of="Parts">
          <table class="parts">
            <thead>
              <tr>
                <th scope="col">Part</th>
                {choosing && <th scope="col">Which bar</th>}
                <th scope="col">What it is</th>
                {columns.map((what) => (
                  <th scope="col" class="number" key={what}>
                    {what}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map((part) => (
                <PartRow
                  key={part.number}
                  part={part}
                  columns={columns}
                  choosing={choosing}
                  lit={lit === part.number}
                  pinned={pinned.value === part.number}
                  onPoint={point}
                  onPin={() => {
                    pinned.value = pinned.value === part.number ? null : part.number;
                  }}
                />
              ))}
            </tbody>
          </table>
        </WideTable>
      )}
      {folded && (
        <Button
          kind="quiet"
          onPress={() => {
            allShown.value = true;
          }}
        >
          Show {parts.length - plain.length} more, supports and low parts
        </Button>
      )}
    </>
  );
}

function orientations(parts: readonly Part[]): string[] {
  return [...new Set(parts.flatMap((part) => (part.orientation ? [part.orientation] : [])))];
}

function PartRow(props: {
  part: Part;
  columns: readonly string[];
  choosing: Choosing;
  lit: boolean;
  pinned: boolean;
  onPoint: (number: number | null) => void;
  onPin: () => void;
}) {
  const { part, columns, choosing, lit, pinned, onPoint, onPin } = props;
  return (
    <tr
      class={lit ? 'lit' : ''}
      onMouseEnter={() => onPoint(part.number)}
      onMouseLeave={() => onPoint(null)}
      onFocusCapture={() => onPoint(part.number)}
      onBlurCapture={() => onPoint(null)}
    >
      <td>
        <button
          type="button"
          class="pick"
          aria-pressed={pinned}
          aria-label={`${part.number}, show it on the sheet`}
          onClick={onPin}
        >
          {part.number}
        </button>
      </td>
      {choosing && (
        <td>
          {part.kind === 'bar' || part.kind === 'other' ? (
            <select
              aria-label={`Part ${part.number} is`}
              value={choosing.of(part.number)}
              onChange={(event) => choosing.choose(part.number, event.currentTarget.value)}
            >
              {choosing.choices.map((choice) => (
                <option key={choice.value} value={choice.value}>
                  {choice.label}
                </option>
              ))}
            </select>
          ) : null}
        </td>
      )}
      <td class="words">{part.words}</td>
      {columns.map((what) => (
        <td class="number" key={what}>
          {part.rows.find((row) => row.what === what)?.value ?? '–'}
        </td>
      ))}
    </tr>
  );
}

/** What the print asks of the kit, how it ends, and where it differs from the plan. */
export function PrintFacts({ print }: { print: PrintView }) {
  return (
    <div class="stack">
      <h3>What it asks of the kit</h3>
      <table class="facts">
        <tbody>
          {print.facts
            .filter((fact) => fact.value !== print.ending)
            .map((fact) => (
              <tr key={fact.what}>
                <th scope="row">{fact.what}</th>
                <td>{fact.value}</td>
              </tr>
            ))}
        </tbody>
      </table>
      {print.ending && <p>{print.ending}</p>}
      {print.against && print.against.length > 0 && <Against rows={print.against} />}
    </div>
  );
}

function Against({ rows }: { rows: NonNullable<PrintView['against']> }) {
  const different = rows.filter((row) => row.answer === 'different').length;
  return (
    <div>
      <h3>
        {different === 0
          ? 'The file says what the plan says'
          : `The file and the plan differ in ${different} ${different === 1 ? 'line' : 'lines'}`}
      </h3>
      <WideTable of="File and plan">
        <table class="figures against">
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col">File</th>
              <th scope="col">Plan</th>
              <th scope="col">Answer</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.what}>
                <td>{row.what}</td>
                <td>{row.file}</td>
                <td>{row.plan}</td>
                <td>{row.answer}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </div>
  );
}

/** All of a print: the sheet and its parts at the left, the facts at the right, problems first. */
export function PrintCard({ print, choosing = null }: { print: PrintView; choosing?: Choosing }) {
  return (
    <>
      <Problems problems={print.problems} />
      <div class="print">
        <div class="stack">
          <PartsOnSheet print={print} choosing={choosing} />
        </div>
        <PrintFacts print={print} />
      </div>
    </>
  );
}
