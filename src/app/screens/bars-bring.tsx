import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { ReadingView } from '../../server/api.ts';
import { showShare } from '../../units.ts';
import {
  bringCurves,
  type CurvesFile,
  closeBringing,
  correctCurves,
  current,
  keepCurves,
  leaveCurves,
  queue,
} from '../bars.ts';
import { OneCurve } from '../charts/one-curve.tsx';
import { Button, ChooseFiles, capital, Progress, Trouble, WideTable } from '../parts.tsx';

/** Curves come in: dropped, looked at one file after the other, confirmed or put right, and only then kept. */
export function BringCurves({ slim }: { slim: boolean }) {
  const files = queue.value;
  const open = current.value;
  const over = useSignal(false);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: it only shows where to drop; the page takes the files
    <div
      class="bring"
      onDragOver={(event) => {
        event.preventDefault();
        over.value = true;
      }}
      onDragLeave={() => {
        over.value = false;
      }}
      onDrop={() => {
        over.value = false;
      }}
    >
      {!slim && (
        <div class={`drop${over.value ? ' over' : ''}${files.length > 0 ? ' slim' : ''}`}>
          <p>
            <b>{files.length > 0 ? 'Drop the next files here' : 'Drop the files of the test machine here'}</b>
          </p>
          {files.length === 0 && (
            <p class="small second">
              Text as it exports it, any separator, one bar or many. You see what each is taken for before
              anything is kept.
            </p>
          )}
          <div class="buttons">
            <ChooseCurves {...(files.length > 0 ? {} : { kind: 'main' })}>Bring in curves</ChooseCurves>
          </div>
        </div>
      )}
      {files.length > 0 && (
        <ul class="stack came-in" aria-label="Files that came in">
          {files.map((one) => (
            <Came key={one.file.name} one={one} isOpen={one === open} />
          ))}
        </ul>
      )}
      {open?.brought && <Look key={open.file.name} one={open} />}
      {files.length > 0 && open === null && (
        <div class="buttons">
          <Button onPress={closeBringing}>Close the list</Button>
        </div>
      )}
    </div>
  );
}

export function ChooseCurves({ children, kind }: { children: string; kind?: 'main' }) {
  return (
    <ChooseFiles onFiles={bringCurves} {...(kind ? { kind } : {})}>
      {children}
    </ChooseFiles>
  );
}

/** One line a file: kept, refused with its sentence, or being read. */
function Came({ one, isOpen }: { one: CurvesFile; isOpen: boolean }) {
  const { file, kept, refused, job, sent, brought } = one;
  if (kept)
    return (
      <li class="note">
        <b>{file.name}</b> is kept: {brought ? counted(brought.reading) : 'its curves count now'}.
      </li>
    );
  if (refused.length > 0)
    return (
      <li>
        <Trouble
          sentences={[
            ...refused.map((words) => (words.includes(file.name) ? words : `${file.name}: ${words}`)),
            'Nothing of it was kept.',
          ]}
        >
          <ChooseCurves>Choose another file</ChooseCurves>
          <Button kind="quiet" onPress={() => leaveCurves(file)} label={`Leave out ${file.name}`}>
            Leave out
          </Button>
        </Trouble>
      </li>
    );
  if (!isOpen)
    return (
      <li class="note">
        <b>{file.name}</b> waits until the one before it is settled.
      </li>
    );
  if (brought) return null;
  return (
    <li>
      <Progress
        share={job ? job.share : sent}
        words={job ? job.doing || `Reading ${file.name}` : `Sent ${showShare(sent)} of ${file.name}`}
      />
    </li>
  );
}

function counted({ bars }: ReadingView): string {
  return bars.length === 1 ? `one bar, ${bars[0]!.bar ?? bars[0]!.name}` : `${bars.length} bars`;
}

/** What the file is taken for, with the evidence, the first rows and the first curve; all of it can be put right. */
function Look({ one }: { one: CurvesFile }) {
  const { reading, campaignBars } = one.brought!;
  const head = useRef<HTMLHeadingElement>(null);
  const wrong = useSignal<readonly string[]>([]);
  // What an earlier answer said stays in the fields; the fields begin with the guess.
  const columns = useSignal<Readonly<Record<number, { role: string; unit: string | null }>>>({});
  const decimal = useSignal<'.' | ',' | null>(null);
  const called = useSignal<Readonly<Record<string, string>>>({});
  const busy = one.job?.state === 'running';
  const changed =
    Object.keys(columns.value).length > 0 || decimal.value !== null || Object.keys(called.value).length > 0;
  useEffect(() => head.current?.focus(), []);
  const again = async () => {
    const said = {
      columns: Object.entries(columns.value).map(([column, is]) => ({ column: Number(column), ...is })),
      decimal: decimal.value,
      called: called.value,
    };
    wrong.value = await correctCurves(one.file, said);
    if (wrong.value.length > 0) return;
    columns.value = {};
    decimal.value = null;
    called.value = {};
  };
  const strangers = one.job?.problems.map(({ sentence }) => sentence) ?? [];
  const id = 'curves-look';
  return (
    <section class="card pad look" aria-labelledby={id}>
      <h2 id={id} tabIndex={-1} ref={head}>
        Is this what {one.file.name} holds?
      </h2>
      <p class="second">
        {capital(counted(reading))}. Nothing of it is kept yet; what you confirm is remembered for files that
        look the same.
      </p>
      {reading.questions.length > 0 && (
        <ul class="stack asks">
          {reading.questions.map((words) => (
            <li class="ask-line" key={words}>
              {words}
            </li>
          ))}
        </ul>
      )}
      <div class="look-grid">
        <div>
          <h3>First curve{reading.bars[0] ? `, ${reading.bars[0].bar ?? reading.bars[0].name}` : ''}</h3>
          <OneCurve
            points={reading.first.points}
            xLabel={reading.first.xLabel}
            yLabel={reading.first.yLabel}
            finding={`First curve of ${reading.file}: ${reading.first.yLabel} against ${reading.first.xLabel}.`}
            height={260}
          />
        </div>
        <div>
          <h3>Columns</h3>
          <ol class="columns">
            {reading.columns.map((column) => (
              <ColumnFields
                key={column.column}
                column={column}
                roles={reading.roles}
                said={columns.value[column.column]}
                onSay={(is) => {
                  columns.value = { ...columns.value, [column.column]: is };
                }}
              />
            ))}
          </ol>
          <div class="field decimal">
            <label for="curves-decimal">Decimal sign</label>
            <select
              id="curves-decimal"
              value={decimal.value ?? reading.decimal}
              onChange={(event) => {
                decimal.value = event.currentTarget.value as '.' | ',';
              }}
            >
              <option value=".">point, 12.4</option>
              <option value=",">comma, 12,4</option>
            </select>
          </div>
        </div>
      </div>
      <h3>First rows</h3>
      <WideTable of="First rows of the file">
        <table class="figures rows">
          <thead>
            <tr>
              {reading.columns.map(({ column, heading, roleWords, unit }) => (
                <th scope="col" key={column}>
                  {heading || `column ${column}`}
                  <br />
                  <b>
                    {roleWords}
                    {unit ? `, ${unit}` : ''}
                  </b>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {reading.rows.map((row, k) => (
              <tr key={k}>
                {row.map((cell, column) => (
                  <td key={column}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
      <h3>Bars in it</h3>
      <ul class="bars-in">
        {reading.bars.map(({ name, bar, words }) => (
          <li key={name}>
            {bar !== null && called.value[name] === undefined ? (
              words
            ) : (
              <label class="which">
                <span>{words}</span>
                <select
                  value={called.value[name] ?? ''}
                  onChange={(event) => {
                    called.value = { ...called.value, [name]: event.currentTarget.value };
                  }}
                >
                  <option value="">which bar is it?</option>
                  {campaignBars.map((one) => (
                    <option key={one} value={one}>
                      {one}
                    </option>
                  ))}
                </select>
              </label>
            )}
          </li>
        ))}
      </ul>
      <details>
        <summary>How it was read</summary>
        <ul class="stack plain-list">
          {[...reading.evidence, ...reading.notes].map((words) => (
            <li class="small" key={words}>
              {words}
            </li>
          ))}
          <li class="small hash">SHA-256 {reading.hash}</li>
        </ul>
      </details>
      <Trouble sentences={[...strangers, ...wrong.value]} />
      {busy && <Progress share={one.job!.share} words={one.job!.doing} />}
      <div class="buttons look-acts">
        {changed ? (
          <Button kind="main" onPress={() => void again()}>
            Read it so
          </Button>
        ) : (
          strangers.length === 0 &&
          !busy && (
            <Button kind="main" onPress={() => void keepCurves(one.file)}>
              Right, keep it
            </Button>
          )
        )}
        <Button onPress={() => leaveCurves(one.file)} label={`Leave out ${one.file.name}`}>
          Leave out
        </Button>
      </div>
    </section>
  );
}

type Column = ReadingView['columns'][number];

function ColumnFields({
  column,
  roles,
  said,
  onSay,
}: {
  column: Column;
  roles: ReadingView['roles'];
  said: { role: string; unit: string | null } | undefined;
  onSay: (is: { role: string; unit: string | null }) => void;
}) {
  const role = said?.role ?? column.role;
  const unit = said ? said.unit : column.unit;
  const units = roles.find((one) => one.role === role)?.units ?? [];
  const name = column.heading || `column ${column.column}`;
  return (
    <li class={column.asked ? 'asked' : ''}>
      <p>
        <b>{name}</b>
        {column.asked && <span class="tag">Is it so?</span>}
      </p>
      <div class="pair">
        <select
          aria-label={`What ${name} is`}
          value={role}
          onChange={(event) => {
            const next = event.currentTarget.value;
            const allowed = roles.find((one) => one.role === next)?.units ?? [];
            // A unit is never guessed in silence: another role asks for its own.
            onSay({ role: next, unit: unit !== null && allowed.includes(unit) ? unit : null });
          }}
        >
          {roles.map((one) => (
            <option key={one.role} value={one.role}>
              {one.words}
            </option>
          ))}
        </select>
        {units.length > 0 && (
          <select
            aria-label={`Unit of ${name}`}
            value={unit ?? ''}
            onChange={(event) => onSay({ role, unit: event.currentTarget.value || null })}
          >
            {unit === null && <option value="">unit?</option>}
            {units.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        )}
      </div>
      <p class="small second">{column.evidence}</p>
    </li>
  );
}
