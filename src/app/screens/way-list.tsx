import { type Signal, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { DryDepth, FeedDepth, FeedPicture } from '../../server/api.ts';
import { parseField, showNumber, showQuantity, showUnit } from '../../units.ts';
import { Bend as BendPicture, thingIn } from '../charts/bend.tsx';
import { MarginStrip } from '../charts/margin-strip.tsx';
import { BOX, warmthAt } from '../charts/way-picture.tsx';
import { Button, Chevron, capital } from '../parts.tsx';
import {
  asTightAs,
  type Bend,
  degrees,
  inserted,
  insertedIn,
  intoTheBox,
  isInBox,
  nameOf,
  newBend,
  type Piece,
  removed,
  replaced,
  type Thing,
  type Tube,
  withLength,
  withRadius,
  withTurn,
} from '../way.ts';
import { LeverField } from './lever-field.tsx';

type BendView = Extract<FeedDepth['way'][number], { kind: 'bend' }>;
type Lever = DryDepth['levers'][number];

/** What is known of the pieces as they stand in the list; null while it is computed. */
export type Figures = Readonly<{ picture: FeedPicture; bends: readonly BendView[] }> | null;

type Props = Readonly<{
  pieces: readonly Piece[];
  things: readonly Thing[];
  figures: Figures;
  /** The same as planned, while a change is tried and the bends are as many. */
  planned: FeedPicture | null;
  box: Readonly<{ words: string; levers: readonly Lever[]; planned: readonly Lever[] | null }>;
  chosen: Signal<number | null>;
  onEdit: (pieces: readonly Piece[]) => void;
}>;

/** The whole way as a list, in the order of the strand; each piece opens to be changed. */
export function WayList(props: Props) {
  const { pieces, things, figures, planned, box, chosen, onEdit } = props;
  const list = useRef<HTMLOListElement>(null);
  const opened = chosen.value;
  // Chosen in the picture or just made: the row comes into view and takes the focus.
  useEffect(() => {
    if (opened === null) return;
    const row = list.current?.querySelector<HTMLElement>(`[data-piece="${opened}"]`);
    row?.querySelector('button')?.focus({ preventScroll: true });
    row?.scrollIntoView({ block: 'nearest' });
  }, [opened]);
  const edit = (next: readonly Piece[], open: number | null) => {
    onEdit(next);
    chosen.value = open;
  };
  const usual = things[1] ?? things[0]!;
  const bends = pieces.filter(({ kind }) => kind === 'bend').length;
  const tubes = pieces.length - bends;
  let ordinal = 0;
  return (
    <>
      <div class="way-head" aria-hidden="true">
        <span>In the order of the strand</span>
        <span>Bent by, as a share of what breaks it</span>
        <span class="sides">
          <span>◂ snaps</span>
          <span>
            <span>holds ▸</span>
            <span>each dot: 1 run in 20</span>
          </span>
        </span>
      </div>
      <ol class="way-list" ref={list} aria-label="The way, from the winding to the drive">
        <Row
          index={BOX}
          chosen={chosen}
          name="Box"
          detail={box.words}
          figures={figures && <p>the strand {figures.picture.boxWords}</p>}
        >
          <div class="levers">
            {box.levers.map((lever) => (
              <LeverField key={lever.path} lever={lever} planned={box.planned} place="way" />
            ))}
          </div>
          <div class="buttons">
            <Button onPress={() => edit(inserted(pieces, 0, newBend(usual)), 0)}>
              Add a bend in the box
            </Button>
          </div>
        </Row>
        {pieces.map((piece, k) => {
          const name = capital(nameOf(pieces, k));
          const key = `${piece.kind} ${nameOf(pieces, k)}`;
          if (piece.kind === 'tube')
            return (
              <Row
                key={key}
                index={k}
                chosen={chosen}
                name={name}
                detail={`${showQuantity(piece.length, 'm', 2)} long${piece.assumed ? ', assumed: nobody said it' : ''}`}
                figures={figures && <p>{tubeWords(pieces, k, figures.picture)}</p>}
              >
                <TubeEditor
                  tube={piece}
                  onChange={(tube) => edit(replaced(pieces, k, tube), k)}
                  onAdd={(half) =>
                    edit(
                      half ? insertedIn(pieces, k, newBend(usual)) : inserted(pieces, k + 1, newBend(usual)),
                      k + 1,
                    )
                  }
                  onRemove={tubes > 1 ? () => edit(removed(pieces, k), Math.max(k - 1, 0)) : null}
                />
              </Row>
            );
          ordinal++;
          const margin = figures?.picture.places[ordinal]?.margin ?? null;
          const view = figures?.bends[ordinal - 1] ?? null;
          const first = figures?.picture.first === ordinal;
          const inBox = isInBox(pieces, k);
          return (
            <Row
              key={key}
              index={k}
              chosen={chosen}
              name={name}
              detail={bendWords(piece, inBox)}
              first={first ? (margin!.shareValue < 0.98 ? 'Would snap here first' : 'Tightest') : null}
              figures={
                margin && view ? (
                  <>
                    <p class="share">
                      {margin.share} <span>hold</span>
                    </p>
                    <p class="detail">
                      bent by <b>{margin.median}</b> of what breaks it, {margin.range}
                      <br />
                      {running(view)}
                      <br />
                      {view.least}
                    </p>
                  </>
                ) : (
                  <p class="detail">Computing</p>
                )
              }
              strip={
                margin && (
                  <MarginStrip
                    strip={margin.strip}
                    before={planned?.places[ordinal]?.margin.strip ?? null}
                    look="plain"
                  />
                )
              }
            >
              <BendEditor
                bend={piece}
                id={`bend-${k}`}
                things={things}
                onChange={(bend) => edit(replaced(pieces, k, bend), k)}
              />
              <div class="buttons">
                {!inBox && (
                  <Button
                    onPress={() =>
                      edit(
                        intoTheBox(pieces, k),
                        pieces.findIndex(({ kind }) => kind === 'tube'),
                      )
                    }
                    label={`Move ${nameOf(pieces, k)} into the box`}
                  >
                    Move into the box
                  </Button>
                )}
                <Button
                  onPress={() => edit(inserted(pieces, k + 1, newBend(usual)), k + 1)}
                  label={`Add a bend after ${nameOf(pieces, k)}`}
                >
                  Add a bend after it
                </Button>
                {bends > 1 && (
                  <Button
                    onPress={() => edit(removed(pieces, k), Math.max(k - 1, BOX))}
                    label={`Remove ${nameOf(pieces, k)}`}
                  >
                    Remove
                  </Button>
                )}
              </div>
              {bends === 1 && <p class="hint">The last bend stays: no way is quite straight.</p>}
            </Row>
          );
        })}
      </ol>
    </>
  );
}

function bendWords(bend: Bend, inBox: boolean): string {
  return `${showQuantity(bend.radius, 'mm', 3)} radius, turns by ${degrees(bend)}°${inBox ? ', in the box' : ''}${bend.assumed ? ', assumed: nobody told a bend' : ''}`;
}

/** "65 to 23 °C as it runs, after a stop 23 °C". */
function tubeWords(pieces: readonly Piece[], index: number, picture: FeedPicture): string {
  const metres = (until: number) =>
    pieces.slice(0, until).reduce((sum, piece) => sum + (piece.kind === 'tube' ? piece.length : 0), 0);
  const [from, to] = [metres(index), metres(index + 1)].map((along) =>
    showNumber(warmthAt(picture, along), 0),
  );
  const runs = from === to ? from : `${from} to ${to}`;
  return `strand at ${runs}${showUnit('C')} as it runs, ${showNumber(picture.room, 0)}${showUnit('C')} after a stop`;
}

function running({ running: warm, stopped }: BendView): string {
  const short = (words: string) => words.replace(/ \(.*/, '');
  return short(warm) === short(stopped)
    ? `strand at ${short(warm)}`
    : `strand at ${short(warm)}, after a stop ${short(stopped)}`;
}

function Row(props: {
  index: number;
  chosen: Signal<number | null>;
  name: string;
  detail: string;
  first?: string | null;
  figures: preact.ComponentChildren;
  strip?: preact.ComponentChildren;
  children: preact.ComponentChildren;
}) {
  const { index, chosen, name, detail, first, figures, strip, children } = props;
  const open = chosen.value === index;
  const id = `piece-${index}`;
  return (
    <li class={`piece${first ? ' first' : ''}`} data-piece={index}>
      <div class="piece-name">
        <button
          type="button"
          class="opener"
          aria-expanded={open}
          aria-controls={id}
          onClick={() => {
            chosen.value = open ? null : index;
          }}
        >
          <span>{name}</span>
          <Chevron open={open} />
        </button>
        <p class="question">{detail}</p>
        {first && <p class="first-words">{first}</p>}
      </div>
      <div class="piece-figures">{figures}</div>
      <div class="piece-strip">{strip}</div>
      {open && (
        <div class="piece-editor" id={id}>
          {children}
        </div>
      )}
    </li>
  );
}

const TURNS = [30, 45, 60, 90, 120, 180] as const;

/** How tight a bend is, held against things; a measured radius instead; how far it turns. */
function BendEditor(props: {
  bend: Bend;
  id: string;
  things: readonly Thing[];
  onChange: (bend: Bend) => void;
}) {
  const { bend, id, things, onChange } = props;
  const turns = [...new Set([...TURNS, degrees(bend)])].sort((a, b) => a - b);
  const isLike = ({ radius }: Thing) => Math.abs(1000 * bend.radius - Number.parseFloat(radius)) < 0.05;
  return (
    <>
      <fieldset class="field">
        <legend class="label">How tight is it? Hold a coin, a cup and a plate against it.</legend>
        <div class="choices drawings">
          {things.map((thing) => {
            const drawn = thingIn(thing.label);
            return (
              <label class="choice drawn" key={thing.label}>
                {drawn && <BendPicture thing={drawn} />}
                <span>
                  <input
                    type="radio"
                    name={id}
                    checked={isLike(thing)}
                    onChange={() => onChange(asTightAs(bend, thing))}
                  />
                  {thing.label}
                </span>
              </label>
            );
          })}
        </div>
      </fieldset>
      <div class="levers">
        <Measured
          id={`${id}-radius`}
          label="Or its radius measured, mm"
          value={Number((1000 * bend.radius).toPrecision(3))}
          hint="along the middle of the tube"
          least={1}
          most={2000}
          onChange={(mm) => onChange(withRadius(bend, mm))}
        />
        <div class="field">
          <label for={`${id}-turn`}>Turns by</label>
          <select
            id={`${id}-turn`}
            value={String(degrees(bend))}
            onChange={(event) => onChange(withTurn(bend, Number(event.currentTarget.value)))}
          >
            {turns.map((turn) => (
              <option key={turn} value={String(turn)}>
                {turn}°{turn === 90 ? ', a quarter turn' : turn === 180 ? ', back the way it came' : ''}
              </option>
            ))}
          </select>
        </div>
      </div>
    </>
  );
}

function TubeEditor(props: {
  tube: Tube;
  onChange: (tube: Tube) => void;
  onAdd: (half: boolean) => void;
  onRemove: (() => void) | null;
}) {
  const { tube, onChange, onAdd, onRemove } = props;
  return (
    <>
      <div class="levers">
        <Measured
          id="tube-length"
          label="Length, m"
          value={Number(tube.length.toPrecision(3))}
          hint="with a tape along the tube"
          least={0.01}
          most={20}
          onChange={(metres) => onChange(withLength(metres))}
        />
      </div>
      <div class="buttons">
        <Button onPress={() => onAdd(true)}>Add a bend half way</Button>
        <Button onPress={() => onAdd(false)}>Add a bend at its end</Button>
        {onRemove && <Button onPress={onRemove}>Remove this tube</Button>}
      </div>
    </>
  );
}

/** A number in the unit of its label; what is out of reason is said under it and changes nothing. */
function Measured(props: {
  id: string;
  label: string;
  value: number;
  hint: string;
  least: number;
  most: number;
  onChange: (value: number) => void;
}) {
  const { id, label, value, hint, least, most, onChange } = props;
  const typed = useSignal<string | null>(null);
  const wrong = useSignal<string | null>(null);
  const unit = /, (\S+)$/.exec(label)![1]!;
  const change = (text: string) => {
    const number = parseField(text.replace(new RegExp(`\\s*${unit}$`), ''));
    typed.value = text;
    wrong.value =
      number === null
        ? `"${text}" is not a number. Expected ${unit}, such as ${value}.`
        : number < least || number > most
          ? `${text} ${unit} is not a way that strand takes. Expected ${least} to ${most} ${unit}.`
          : null;
    if (number === null || wrong.value !== null) return;
    typed.value = null;
    if (number !== value) onChange(number);
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={typed.value ?? String(value)}
        aria-invalid={wrong.value !== null}
        aria-describedby={wrong.value === null ? `${id}-hint` : `${id}-wrong ${id}-hint`}
        onInput={(event) => {
          typed.value = event.currentTarget.value;
        }}
        onChange={(event) => change(event.currentTarget.value)}
      />
      {wrong.value !== null && (
        <p class="wrong" id={`${id}-wrong`} role="alert">
          {wrong.value}
        </p>
      )}
      <p class="hint" id={`${id}-hint`}>
        {hint}
      </p>
    </div>
  );
}
