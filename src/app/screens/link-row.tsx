import { useSignal } from '@preact/signals';
import type { CheckView, LinkView, WayView } from '../../server/api.ts';
import { type Look, MarginStrip } from '../charts/margin-strip.tsx';
import { Crack, NeckPiece } from '../charts/necked-bar.tsx';
import { hasMoved, neckOf } from '../links.ts';
import { Button, Chevron, capital, Progress, Tag } from '../parts.tsx';
import { links, outOfDate, putBack, running, type ShownLink, stopHere, tried, tryOut } from '../state.ts';
import { DryInDepth } from './dry-depth.tsx';
import { FeedInDepth } from './feed-depth.tsx';
import { StayDryInDepth } from './stay-dry-depth.tsx';

/** One link: share and sentence before the picture, then what would mend it; opened, every check with its dots. */
export function LinkRow({ shown, index }: { shown: ShownLink; index: number }) {
  const { link, figures, fresh } = shown;
  // Null: not touched by the person; the weakest link is then the open one.
  const chosen = useSignal<boolean | null>(null);
  const weak = figures?.weakest ?? false;
  const canOpen = figures !== null && figures.checks.length > 0;
  const open = canOpen && (chosen.value ?? weak);
  const necks = links.value.map(neckOf);
  const kind = [
    'link',
    weak ? 'weak' : '',
    figures ? '' : 'blank',
    figures?.nothingToChange && !weak ? 'safe' : '',
    open ? 'opened-row' : '',
  ];
  const id = `checks-${link.name.replace(' ', '-')}`;
  return (
    <section
      class={kind.filter(Boolean).join(' ')}
      aria-label={link.name}
      data-row={weak ? 'weakest' : 'link'}
    >
      <div class="neck">
        <NeckPiece necks={necks} index={index} />
        {figures?.cracked && <Crack />}
      </div>
      <div class="name">
        <h2>
          {canOpen ? (
            <button
              type="button"
              class="opener"
              aria-expanded={open}
              aria-controls={id}
              data-row-focus=""
              onClick={() => {
                chosen.value = !open;
              }}
            >
              <span>{link.name}</span>
              <Chevron open={open} />
            </button>
          ) : (
            link.name
          )}
          {weak && <Tag filled>Weakest</Tag>}
          {tried.value && hasMoved(link) && <Tag>Trying</Tag>}
          {figures?.assumed && <Tag>Assumed</Tag>}
        </h2>
        <p class="question">{link.question}</p>
      </div>
      {figures && <Value figures={figures} full={weak || open} />}
      <div class="plot">
        {figures?.ruling ? (
          <MarginStrip
            strip={figures.ruling.strip}
            before={fresh && tried.value && hasMoved(link) ? (link.before?.strip ?? null) : null}
            look={lookOf(figures, fresh)}
          />
        ) : (
          link.state === 'computing' && (
            <MarginStrip strip={null} look="grey" finding={`${link.name}: no runs yet.`} />
          )
        )}
      </div>
      <Change shown={shown} weak={weak} full={weak || open} />
      {open && (
        <div class="opened" id={id}>
          {figures.checks
            .filter((check) => check.name !== figures.ruling?.name)
            .map((check) => (
              <Check key={check.name} check={check} figures={figures} fresh={fresh} />
            ))}
          <Depth
            figures={figures}
            planned={tried.value ? shown.planned : null}
            look={lookOf(figures, fresh)}
          />
        </div>
      )}
    </section>
  );
}

/** What a link shows beyond its checks: curves, the way, levers. */
function Depth({ figures, planned, look }: { figures: LinkView; planned: LinkView | null; look: Look }) {
  const { dry, stayDry, stayDryPicture, feed, feedPicture } = figures;
  const inside = dry ? (
    <DryInDepth dry={dry} planned={planned?.dry ?? null} />
  ) : stayDry && stayDryPicture ? (
    <StayDryInDepth depth={stayDry} picture={stayDryPicture} planned={planned?.stayDry ?? null} />
  ) : feed && feedPicture ? (
    <FeedInDepth
      depth={feed}
      picture={feedPicture}
      look={look}
      planned={
        planned?.feed && planned.feedPicture ? { depth: planned.feed, picture: planned.feedPicture } : null
      }
    />
  ) : null;
  return inside && <div class="wide">{inside}</div>;
}

function lookOf(figures: LinkView, fresh: boolean): Look {
  if (!fresh || outOfDate.value) return 'grey';
  return figures.assumed ? 'assumed' : 'plain';
}

function Value({ figures, full }: { figures: LinkView; full: boolean }) {
  const { ruling } = figures;
  return (
    <div class="value">
      <p class="share">
        {figures.share} <span>hold</span>
      </p>
      <div class="more">
        {ruling && (
          <p class="detail">
            {ruling.quantity} <b class="figure">{ruling.median}</b>
            <br />
            {ruling.range}, {ruling.limit}
            <br />
            {figures.answers}
            {full && figures.checks.length > 1 && (
              <>
                <br />
                the {ruling.name} check rules
              </>
            )}
          </p>
        )}
        {figures.together && <p class="detail">{figures.together}</p>}
        {full && figures.assumedWords && <p class="least">{figures.assumedWords}</p>}
        {full && figures.leastKnown && (
          <p class="least">
            Least known: <b>{figures.leastKnown.input}</b>, {figures.leastKnown.share}.{' '}
            {figures.leastKnown.measure}
          </p>
        )}
      </div>
    </div>
  );
}

/** The right-hand cell: progress, what failed, or the smallest change. */
function Change({ shown, weak, full }: { shown: ShownLink; weak: boolean; full: boolean }) {
  const { link, figures, planned } = shown;
  if (link.state === 'not computed yet') return <p class="change">Not computed yet</p>;
  if (link.state === 'failed')
    return (
      <div class="change">
        <div class="trouble" role="alert">
          <p>{link.failure ?? `${link.name} could not be computed.`} The other links stand as they are.</p>
        </div>
      </div>
    );
  const job = running.value;
  if (link.state === 'computing' && job)
    return (
      <div class="change">
        <Progress share={job.share} words={job.doing} />
        <Button onPress={() => void stopHere()} label={`Stop here: ${link.name}`}>
          Stop here
        </Button>
      </div>
    );
  // While a change is tried, the ways stay those of the plan as it stands: rows keep their place.
  const ways = (tried.value ? planned : figures)?.ways ?? [];
  // The link is known while its single changes are still being tried: nothing is said about them before that.
  const trying = job !== null && !tried.value && (full || ways.length === 0) && !figures?.nothingToChange;
  if (ways.length === 0 && !trying)
    return (
      <p class="change">
        {figures?.nothingToChange
          ? 'Nothing to change'
          : figures?.dry || figures?.stayDry || figures?.feed
            ? 'No single change mends it; change more than one in the open row.'
            : figures
              ? 'No single change of the plan mends it'
              : ''}
      </p>
    );
  const shownWays = full || tried.value ? ways : ways.slice(0, 1);
  return (
    <div class="change">
      {shownWays.length > 1 && <p class="small second">Smallest change first</p>}
      <ul class="ways">
        {shownWays.map((way, index) => (
          <Way key={way.id} way={way} first={index === 0} main={weak && index === 0 && !tried.value} />
        ))}
      </ul>
      {trying && <Progress share={job.share} words={job.doing} />}
      {trying && weak && (
        <Button onPress={() => void stopHere()} label={`Stop here: ${link.name}`}>
          Stop here
        </Button>
      )}
    </div>
  );
}

function Way({ way, first, main }: { way: WayView; first: boolean; main: boolean }) {
  const on = tried.value?.parts.some((part) => part.id === way.id) ?? false;
  const press = () => void (on ? putBack(way.id) : tryOut(way.id, way.words, way.changes));
  const marks = first ? ({ 'data-try': '' } as const) : {};
  return (
    <li class={`way${first ? ' first' : ''}`}>
      <div>
        <p>{way.words}</p>
        <p class="effect">
          {capital(way.effect)}. {capital(way.cost)}
          {way.cost && '.'}
          {!way.mends && ' Does not mend it alone.'}
        </p>
      </div>
      <Button
        kind={main ? 'main' : 'plain'}
        onPress={press}
        label={`${on ? 'Put back' : 'Try'}: ${way.words}`}
        marks={marks}
      >
        {on ? 'Put back' : 'Try'}
      </Button>
    </li>
  );
}

function Check({ check, figures, fresh }: { check: CheckView; figures: LinkView; fresh: boolean }) {
  return (
    <div class="check">
      <div class="name">
        <h3>{capital(check.name)} check</h3>
        <p class="question">
          {check.answer === 'counts' ? 'decides whether it counts' : 'decides whether it comes off'}
        </p>
      </div>
      <div class="value">
        <p class="share">
          {check.share} <span>hold</span>
        </p>
        <p class="detail">
          {check.quantity} <b class="figure">{check.median}</b>
          <br />
          {check.range}, {check.limit}
        </p>
      </div>
      <div class="plot">
        <MarginStrip strip={check.strip} look={lookOf(figures, fresh)} />
      </div>
      <p class="remark" />
    </div>
  );
}
