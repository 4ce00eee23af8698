import { wrapped } from './text.ts';
import type { DryDepth, FeedDepth, LinkView } from './views.ts';

/** What the links found, in words, for a terminal: cautions before what they are about. */
export function depthLines(link: LinkView): string[] {
  const parts = [link.dry && dryLines(link.dry), stayDryLines(link), link.feed && feedLines(link.feed)];
  const lines = parts.flatMap((part) => part ?? []);
  return lines.length > 0 ? ['', `${link.name}:`, ...lines] : [];
}

type Caution = DryDepth['cautions'][number];

const cautionLines = (cautions: readonly Caution[]) =>
  cautions.flatMap(({ hazard, words }) => ['', ...wrapped(`Caution: ${hazard} ${words}`)]);

/** Sentences of one subject after an empty line. */
function paragraph(sentences: readonly string[]): string[] {
  return sentences.length > 0 ? ['', ...sentences.flatMap((words) => wrapped(words))] : [];
}

function dryLines(dry: DryDepth): string[] {
  const said = dry.scale.find((row) => row.says)?.says;
  return [
    ...cautionLines(dry.cautions),
    ...paragraph(dry.needed),
    '',
    'The scale should show:',
    ...dry.scale.map(
      (row) => `  ${row.at.padEnd(16)} ${row.predicted}${row.seen ? `   seen: ${row.seen}` : ''}`,
    ),
    ...(said ? wrapped(said) : []),
    ...paragraph(dry.advice),
  ];
}

function stayDryLines({ stayDry, stayDryPicture }: LinkView): string[] {
  if (!stayDry) return [];
  const waits = (stayDryPicture?.waits ?? []).flatMap((wait) =>
    wrapped(`  ${wait.words}, ${wait.span}: first ${wait.first}, behind it ${wait.behind}; ${wait.mend}`),
  );
  return [
    ...cautionLines(stayDry.cautions),
    ...paragraph([
      ...(stayDryPicture ? [`At the nozzle: ${stayDryPicture.greatest.words}.`] : []),
      ...stayDry.found,
    ]),
    ...(waits.length > 0 ? ['', 'Strand at the nozzle after each wait:', ...waits] : []),
    ...paragraph(stayDry.left),
    ...paragraph(stayDry.desiccant ?? []),
    ...paragraph(stayDry.advice),
  ];
}

function feedLines(feed: FeedDepth): string[] {
  const pieces = feed.way.flatMap((piece) => {
    if (piece.kind === 'tube') return wrapped(`  ${piece.words}`);
    return [
      ...wrapped(`  ${piece.name}: ${piece.words}`),
      ...wrapped(
        `    margin ${piece.margin}, holds in ${piece.holds} of the runs; ${piece.least}; ${piece.running} while it runs, ${piece.stopped} after a stop`,
      ),
    ];
  });
  return [
    ...cautionLines(feed.cautions),
    '',
    'The way, from the winding (margin: strain to break over strain):',
    ...pieces,
    ...paragraph(feed.found),
    ...paragraph(feed.pull),
    ...paragraph(feed.strand),
    ...paragraph(feed.advice),
    ...paragraph(feed.changer),
  ];
}
