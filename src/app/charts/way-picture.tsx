import type { FeedPicture } from '../../server/api.ts';
import { useSize } from '../size.ts';
import type { Piece } from '../way.ts';
import { fine } from './labels.ts';
import { type Drawn, type Point, TUBE_MOST } from './way-layout.ts';
import {
  BOX,
  fitWay,
  type Known,
  NARROW,
  OFF,
  type Place,
  SURE,
  warmthAt,
  waySentence,
} from './way-places.ts';

/** px of warmth at each side of the strand a kelvin warmer than the room. */
const WARM_A_KELVIN = 0.3;
/** Shares from here on are drawn as held. */
const HELD = 0.95;

type Drawing = Readonly<{ pieces: readonly Piece[]; known: Known; width: number; text: number }>;

/** The picture without its words: warmth, tube, strand, the box, the drive, and a mark at each bend. */
export function WayDrawing({ pieces, known, width, text }: Drawing) {
  const { layout, place, scale, height, places } = fitWay(pieces, known, width, text);
  const { picture, fresh } = known;
  const corner = place([layout.box.left, layout.box.top]);
  const end = place(layout.end);
  const [ahead, down] = [Math.cos(layout.heading), Math.sin(layout.heading)];
  const leaders = (which: (of: Place) => boolean) =>
    places
      .filter(({ of }) => which(of))
      .map(({ of, to }) => (
        <line key={`leader ${of.piece}`} class="leader" x1={of.at[0]} y1={of.at[1]} x2={to[0]} y2={to[1]} />
      ));
  const isBend = (piece: number) => pieces[piece]?.kind === 'bend';
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={waySentence(pieces, known)}
    >
      {leaders(({ piece }) => piece === BOX)}
      <rect
        class="box-wall"
        x={corner[0]}
        y={corner[1]}
        width={(layout.box.right - layout.box.left) * scale}
        height={(layout.box.bottom - layout.box.top) * scale}
        rx="6"
      />
      {layout.drawn.map((one) => (
        <Warmth key={key(one)} one={one} place={place} picture={picture} />
      ))}
      {layout.drawn
        .filter(({ steps }) => steps[0]!.along !== null)
        .map((one) => (
          <g key={`tube ${key(one)}`}>
            <path class="tube-wall" d={lineOf(one, place)} />
            <path class="tube-room" d={lineOf(one, place)} />
          </g>
        ))}
      {leaders(({ piece }) => piece !== BOX)}
      {layout.drawn.map((one) => (
        <path
          key={`strand ${key(one)}`}
          class={`strand${fresh && isFirst(picture, pieces, one.piece) ? ' first' : ''}`}
          d={lineOf(one, place)}
        />
      ))}
      {layout.drawn
        .filter(({ broken }) => broken !== null)
        .map((one) => (
          <Break key={`break ${key(one)}`} ends={one.broken!.map(place)} />
        ))}
      {layout.drawn
        .filter(({ piece }) => isBend(piece))
        .map((one) => (
          <Mark
            key={`mark ${one.piece}`}
            at={place(one.middle)}
            share={fresh ? (picture.places[ordinal(pieces, one.piece)]?.margin.shareValue ?? null) : null}
            first={fresh && isFirst(picture, pieces, one.piece)}
          />
        ))}
      {fresh && picture.first === 0 && (
        <Mark at={place(layout.drawn[0]!.steps[0]!.at)} share={picture.places[0]!.margin.shareValue} first />
      )}
      {[-1, 1].map((side) => (
        <circle
          key={side}
          class="drive"
          cx={end[0] - side * down * 10}
          cy={end[1] + side * ahead * 10}
          r="8"
        />
      ))}
      <text
        class="halo"
        x={Math.min(Math.max(end[0] + ahead * 36, text * 1.6), width - text * 1.6)}
        y={end[1] + down * 34 + text * 0.35}
        text-anchor="middle"
      >
        drive
      </text>
    </svg>
  );
}

const key = ({ piece, steps }: Drawn) => `${piece} ${steps[0]!.at.join()}`;

/** Which bend this piece is, from 1. */
function ordinal(pieces: readonly Piece[], piece: number): number {
  return pieces.slice(0, piece + 1).filter(({ kind }) => kind === 'bend').length;
}

function isFirst({ first }: FeedPicture, pieces: readonly Piece[], piece: number): boolean {
  return pieces[piece]?.kind === 'bend' && first === ordinal(pieces, piece);
}

function lineOf({ steps }: Drawn, place: (point: Point) => Point): string {
  return steps.map((step, k) => `${k === 0 ? 'M' : 'L'}${place(step.at).map(fine).join(' ')}`).join('');
}

/** A band as wide as the strand is warmer than the room. */
function Warmth({ one, place, picture }: { one: Drawn; place: (p: Point) => Point; picture: FeedPicture }) {
  return (
    <>
      {one.steps.slice(1).map((step, k) => {
        const [a, b] = [place(one.steps[k]!.at), place(step.at)];
        const along = step.along === null ? 0 : ((one.steps[k]!.along ?? 0) + step.along) / 2;
        const over = Math.max(warmthAt(picture, along) - picture.room, 0);
        return (
          <line
            key={step.at.join()}
            class="warmth"
            x1={a[0]}
            y1={a[1]}
            x2={b[0]}
            y2={b[1]}
            stroke-width={fine(2 * WARM_A_KELVIN * over)}
          />
        );
      })}
    </>
  );
}

/** Where a long tube is left out: a gap with a stroke at each side. */
function Break({ ends }: { ends: readonly Point[] }) {
  const [a, b] = ends as [Point, Point];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const stroke = ([x, y]: Point) =>
    `M${fine(x - 9 * uy - 3 * ux)} ${fine(y + 9 * ux - 3 * uy)}L${fine(x + 9 * uy + 3 * ux)} ${fine(y - 9 * ux + 3 * uy)}`;
  return (
    <>
      <line class="break-gap" x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} />
      <path class="break-end" d={stroke(a) + stroke(b)} />
    </>
  );
}

/** A disc holds, a ring fails; where the strand is tightest the mark is larger, and cracked where it would snap. */
function Mark({ at, share, first }: { at: Point; share: number | null; first: boolean }) {
  const [x, y] = at;
  const kind = share === null ? 'grey' : share >= HELD ? 'holding' : 'failing';
  if (!first || share === null) return <circle class={`dot mark-dot ${kind}`} cx={x} cy={y} r="6.5" />;
  return (
    <>
      <circle class={`first-mark ${kind}`} cx={x} cy={y} r="11" />
      {share < SURE ? (
        <path class="snap" d={`M${fine(x + 2)} ${fine(y - 9)}l-4 7l5 4l-4 7`} />
      ) : (
        <circle class={`dot ${kind}`} cx={x} cy={y} r="5" />
      )}
    </>
  );
}

/** The picture with its words as buttons: each opens its row in the list below. */
export function WayPicture(props: {
  pieces: readonly Piece[];
  known: Known;
  chosen: number | null;
  onChoose: (piece: number) => void;
}) {
  const [place, { width, text }] = useSize<HTMLDivElement>(760);
  const { pieces, known, chosen, onChoose } = props;
  const { places, pill } = fitWay(pieces, known, width, text);
  const narrow = width < NARROW;
  return (
    <figure>
      <div class="chart way-picture" ref={place}>
        <WayDrawing pieces={pieces} known={known} width={width} text={text} />
        {places.map(({ of, to }) => {
          const inside = (
            <>
              <b>{of.title}</b> {(narrow || !of.first) && <span>{of.more}</span>}
              {of.first && <span class="first-words">{of.first}</span>}
            </>
          );
          const style = {
            left: `${fine(to[0] - pill[0] / 2)}px`,
            top: `${fine(to[1] - pill[1] / 2)}px`,
            width: `${pill[0]}px`,
            minHeight: `${pill[1]}px`,
          };
          const kind = `pill${of.first ? ' first' : ''}${chosen === of.piece ? ' chosen' : ''}`;
          return of.piece === OFF ? (
            <p key={of.piece} class={kind} style={style}>
              {inside}
            </p>
          ) : (
            <button
              key={of.piece}
              type="button"
              class={kind}
              style={style}
              onClick={() => onChoose(of.piece)}
            >
              {inside}
              <span class="hidden">{`, ${of.spoken}: change it`}</span>
            </button>
          );
        })}
      </div>
      <p class="map-key">
        <span>
          <svg width="30" height="16" aria-hidden="true">
            <line class="warmth" x1="2" x2="28" y1="8" y2="8" stroke-width="14" />
            <path class="strand" d="M0 8H30" />
          </svg>
          as wide as the strand is warmer than the room
        </span>
        <span>
          <svg width="16" height="16" aria-hidden="true">
            <circle class="dot holding" cx="8" cy="8" r="5.5" />
          </svg>
          19 in 20 runs hold
        </span>
        <span>
          <svg width="16" height="16" aria-hidden="true">
            <circle class="dot failing" cx="8" cy="8" r="5.5" />
          </svg>
          fewer hold
        </span>
        <span>
          Bends are drawn to one scale with their true angles; a tube over {TUBE_MOST / 10} cm is broken.
        </span>
      </p>
    </figure>
  );
}
