import type { Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { DryDepth, FeedDepth, FeedPicture } from '../../server/api.ts';
import { showNumber, showQuantity, showUnit } from '../../units.ts';
import { type Look, MarginStrip } from '../charts/margin-strip.tsx';
import { BOX, warmthAt } from '../charts/way-places.ts';
import { Button, Chevron, capital } from '../parts.tsx';
import {
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
} from '../way.ts';
import { LeverField } from './lever-field.tsx';
import { BendEditor, TubeEditor } from './way-editors.tsx';

type BendView = Extract<FeedDepth['way'][number], { kind: 'bend' }>;
type Lever = DryDepth['levers'][number];

/** What is known of the pieces as they stand in the list; null while it is computed. */
export type Figures = Readonly<{ picture: FeedPicture; bends: readonly BendView[] }> | null;

type Props = Readonly<{
  pieces: readonly Piece[];
  things: readonly Thing[];
  figures: Figures;
  look: Look;
  /** The same as planned, while a change is tried and the bends are as many. */
  planned: FeedPicture | null;
  box: Readonly<{ words: string; levers: readonly Lever[]; planned: readonly Lever[] | null }>;
  chosen: Signal<number | null>;
  onEdit: (pieces: readonly Piece[]) => void;
}>;

/** The whole way as a list, in the order of the strand; each piece opens to be changed. */
export function WayList(props: Props) {
  const { pieces, things, figures, look, planned, box, chosen, onEdit } = props;
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
                    look={look}
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
                    label={`Move into the box: ${nameOf(pieces, k)}`}
                  >
                    Move into the box
                  </Button>
                )}
                <Button
                  onPress={() => edit(inserted(pieces, k + 1, newBend(usual)), k + 1)}
                  label={`Add a bend after it: ${nameOf(pieces, k)}`}
                >
                  Add a bend after it
                </Button>
                {bends > 1 && (
                  <Button
                    onPress={() => edit(removed(pieces, k), Math.max(k - 1, BOX))}
                    label={`Remove: ${nameOf(pieces, k)}`}
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
