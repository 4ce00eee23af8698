import { useSignal } from '@preact/signals';
import type { FeedDepth, FeedPicture } from '../../server/api.ts';
import type { Fault } from '../api.ts';
import { type Look, MarginStrip } from '../charts/margin-strip.tsx';
import { OverCampaign } from '../charts/over-campaign.tsx';
import { WayPicture } from '../charts/way-picture.tsx';
import { AsTable } from '../parts.tsx';
import { links, putBack, tried, tryOut } from '../state.ts';
import { changesOf, type Piece, piecesOf, sameWay, WAY, wordsOf } from '../way.ts';
import { Advice, LeavesOut, Levers, Lines } from './depth-parts.tsx';
import { WayList } from './way-list.tsx';

type Props = Readonly<{
  depth: FeedDepth;
  picture: FeedPicture;
  /** How dots are drawn: outlines while a leading input is assumed, grey while figures are from before. */
  look: Look;
  planned: Readonly<{ depth: FeedDepth; picture: FeedPicture }> | null;
}>;

/** The way of the strand as a picture and as a list, each to be changed; strain, pull and strand left. */
export function FeedInDepth({ depth, picture, look, planned }: Props) {
  return (
    <div class="depth">
      <div class="side">
        <Way depth={depth} picture={picture} look={look} planned={planned} />
        <div>
          <h3>Strain against strain to break</h3>
          <OverCampaign
            title="Strain over the campaign"
            hours={picture.hours}
            prints={picture.prints}
            curves={[
              { words: 'breaks at', band: picture.breaks, kind: 'mean' },
              { words: 'is bent by', band: picture.strain, kind: '' },
            ]}
            planned={
              planned && {
                hours: planned.picture.hours,
                prints: planned.picture.prints,
                median: planned.picture.strain.median,
              }
            }
            limits={[]}
            unit="% strain, where the margin is least"
            places={1}
            finding={picture.strainWords}
          />
          <Lines of={[windingWords(picture), ...depth.found.slice(1)]} />
        </div>
        <Advice of={depth.advice} />
      </div>
      <div class="side">
        <Levers
          title="Beside the way"
          cautions={depth.cautions}
          levers={depth.levers.filter(({ path }) => path !== WAY)}
          planned={planned?.depth.levers ?? null}
        />
        <div>
          <h3>Pull against the drive’s grip</h3>
          <MarginStrip strip={picture.pull.strip} look={look} />
          <Lines of={depth.pull} />
        </div>
        <div>
          <h3>Strand left against strand needed</h3>
          <Lines of={depth.strand} />
        </div>
        <div>
          <h3>Through a spool changer?</h3>
          <Lines of={depth.changer} />
        </div>
        <LeavesOut of={depth.weak} />
      </div>
    </div>
  );
}

function windingWords({ winding }: FeedPicture): string {
  const [first, last] = [winding[0], winding.at(-1)];
  if (!first || !last) return '';
  return `The winding shrinks from ${first.from} radius at plate ${first.plate} to ${last.to} at the end of plate ${last.plate}.`;
}

/** Edits are drawn at once and tried; figures come when they are computed. */
function Way({ depth, picture, look, planned }: Props) {
  /** The way as the person wants it, until the figures shown are of it. */
  const wish = useSignal<readonly Piece[] | null>(null);
  const wrong = useSignal<readonly Fault[]>([]);
  const chosen = useSignal<number | null>(null);
  const told = piecesOf(picture.pieces);
  const wished = tried.value?.parts.some(({ id }) => id === 'way') ? wish.value : null;
  const pieces = wished ?? told;
  const known = sameWay(pieces, picture.pieces);
  const figures = known ? { picture, bends: depth.way.filter((piece) => piece.kind === 'bend') } : null;
  const stands = planned ? planned.picture.pieces : picture.pieces;
  const box = links.value.find(({ link }) => link.name === 'Stay dry');
  const edit = async (next: readonly Piece[]) => {
    const before = wish.value;
    if (sameWay(next, stands)) {
      wish.value = null;
      await putBack('way');
      return;
    }
    wish.value = next;
    const others = (tried.value?.parts ?? []).filter(({ id }) => id !== 'way');
    // Another change being tried may lay the way too: what else it changes is taken along.
    const laying = others.filter(({ changes }) => changes.some(({ path }) => path.startsWith(WAY)));
    const taken = laying.flatMap(({ changes }) => changes.filter(({ path }) => !path.startsWith(WAY)));
    const words = [...laying.map((part) => part.words), wordsOf(piecesOf(stands), next)].join('; ');
    wrong.value = await tryOut('way', words, [...taken, ...changesOf(stands, next, laying.length > 0)]);
    if (wrong.value.length > 0) wish.value = before;
  };
  const levers = box?.figures?.stayDry?.levers ?? [];
  const fed = levers.find(({ path }) => path === 'kit.box.card');
  const boxWords = fed?.choices?.find(({ value }) => value === fed.value)?.label ?? '';
  return (
    <div class="first">
      <h3>The way of the strand</h3>
      <Lines
        of={[
          ...depth.found.slice(0, 1),
          `It ${picture.boxWords} and ${picture.driveWords}; ${picture.stoppedWords}.`,
        ]}
      />
      <WayPicture
        pieces={pieces}
        known={{ picture, fresh: known }}
        chosen={chosen.value}
        onChoose={(piece) => {
          chosen.value = chosen.value === piece ? null : piece;
        }}
      />
      {wrong.value.map(({ sentence }) => (
        <p class="wrong" key={sentence} role="alert">
          {sentence}
        </p>
      ))}
      <WayTable depth={depth} picture={picture} />
      <WayList
        pieces={pieces}
        things={picture.things}
        figures={figures}
        look={look}
        planned={
          planned && planned.picture.places.length === picture.places.length && known ? planned.picture : null
        }
        box={{
          words: boxWords,
          levers: levers.filter(({ path }) => path !== 'kit.box.between prints'),
          planned: tried.value ? (box?.planned?.stayDry?.levers ?? null) : null,
        }}
        chosen={chosen}
        onEdit={(next) => void edit(next)}
      />
    </div>
  );
}

function WayTable({ depth, picture }: { depth: FeedDepth; picture: FeedPicture }) {
  const bends = depth.way.filter((piece) => piece.kind === 'bend');
  return (
    <AsTable
      of="The way of the strand"
      head={[
        'Where',
        'Bend',
        'Holds',
        'Bent by, of what breaks it (9 in 10)',
        'Strain',
        'Runs at',
        'After a stop',
      ]}
      rows={picture.places.map(({ name, margin }, k) => {
        const bend = bends[k - 1];
        return {
          key: name,
          cells: [
            `${name}${k === picture.first ? ', first' : ''}`,
            bend?.words ?? 'pulled straight',
            margin.share,
            `${margin.median} (${margin.range})`,
            bend?.strain ?? '–',
            bend?.running ?? '–',
            bend?.stopped ?? '–',
          ],
        };
      })}
    />
  );
}
