import { ascii } from '../units.ts';
import { depthLines } from './depth-text.ts';
import { WIDTH, wrapped } from './text.ts';
import type { ChainView, LinkView } from './views.ts';

/** Marks round what is bold, until the words are plain ASCII: style must not be cleaned away with them. */
const [BOLD, PLAIN] = ['\u0001', '\u0002'];
const bold = (text: string) => `${BOLD}${text}${PLAIN}`;

/** The chain for a terminal: the same words as the page, in plain ASCII, 80 columns where it can. */
export function chainText(chain: ChainView, style: (text: string) => string = (text) => text): string {
  const lines: string[] = [];
  const head = `${chain.headline}.`;
  const tail = `${chain.draws} draws, seed ${chain.seed}`;
  lines.push(...(head.length + tail.length + 3 <= WIDTH ? [`${head}   ${tail}`] : [...wrapped(head), tail]));
  if (chain.invented) lines.push('Example, invented.');
  if (chain.scope) lines.push(...wrapped(chain.scope));
  lines.push('', '             off   counts       fails|holds');
  for (const link of chain.links) lines.push(...linkLines(link));
  lines.push('');
  if (chain.sentence) lines.push(...wrapped(chain.sentence));
  for (const link of chain.links.filter((one) => one.weakest)) lines.push(...waysLines(link));
  for (const { name, assumedWords } of chain.links)
    if (assumedWords) lines.push(...wrapped(`${name}. ${assumedWords}`));
  lines.push(...chain.links.flatMap(depthLines));
  if (chain.problems.length > 0)
    lines.push('', ...chain.problems.flatMap((problem) => wrapped(problem.sentence)));
  const [first = '', ...styled] = lines.join('\n').split(BOLD);
  const rest = styled.map((piece) => {
    const [strong = '', after = ''] = piece.split(PLAIN);
    return style(ascii(strong)) + ascii(after);
  });
  return `${ascii(first)}${rest.join('')}\n`;
}

function linkLines(link: LinkView): string[] {
  const name = link.name.padEnd(9);
  if (link.state === 'failed') return [`${name} ${link.failure ?? ''}`];
  if (!link.ruling) return [`${name} ${link.state}`];
  const share = (answer: 'comes off' | 'counts') => {
    const found = link.answers.split(', ').find((text) => text.startsWith(answer));
    return (found?.slice(answer.length + 1) ?? '-').replace(/\s/g, ' ').padStart(7);
  };
  const { ruling } = link;
  const [off, counts] = [share('comes off'), share('counts')];
  const strip = ruling.strip.ascii.padEnd(18);
  const note = link.weakest ? `   ${bold('weakest')}` : link.assumed ? '   assumed' : '';
  const failing = link.cracked ? bold(counts) : counts;
  const indent = ' '.repeat(47);
  return [
    `${name} ${off}  ${failing}  ${strip} ${ruling.quantity} ${ruling.median}${note}`,
    `${indent}${ruling.range}, ${ruling.limit}`,
  ];
}

function waysLines(link: LinkView): string[] {
  if (link.nothingToChange) return [];
  const lines = link.ways.map(
    (way) =>
      `  ${way.words}: ${way.effect}. ${way.cost}${way.mends ? '' : '; does not reach what you want alone'}.`,
  );
  const least = link.leastKnown
    ? [`Least known: ${link.leastKnown.input}, ${link.leastKnown.share}. ${link.leastKnown.measure}`]
    : [];
  const title = lines.length > 0 ? ['Smallest changes:'] : [];
  return [...title, ...lines, ...least].flatMap((words) => wrapped(words));
}
