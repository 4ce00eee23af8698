import { ascii } from '../units.ts';
import { wrapped } from './text.ts';
import type { PrintView } from './views.ts';

/** What a print asks of the kit, for a terminal. */
export function printText(view: PrintView): string {
  const lines = [`${view.headline}.`, ''];
  for (const { what, value } of view.facts) lines.push(...hanging(what, value));
  if (view.sheet.parts.length > 0) {
    lines.push('', 'Parts, from the front to the back, in a row from the left to the right:');
    for (const part of view.sheet.parts) {
      // Adding 0 turns -0 into 0.
      const [x0, y0, x1, y1] = part.box.map((mm) => Math.round(mm) + 0);
      const rows = part.rows.map(({ what, value }) => `${what.toLowerCase()} ${value}`).join('; ');
      lines.push(...hanging(`  ${part.number}`, `${part.words}; ${x0}..${x1} x ${y0}..${y1} mm; ${rows}`));
    }
  }
  if (view.problems.length > 0) {
    lines.push('');
    for (const problem of view.problems)
      lines.push(...wrapped(problem.level === 'note' ? `Note: ${problem.sentence}` : problem.sentence));
  }
  return `${ascii(lines.join('\n'))}\n`;
}

/** Ten lines, same or different, with both values. */
export function againstText(view: PrintView): string {
  const lines = (view.against ?? []).map(({ what, file, plan, answer }) => {
    const values = answer === 'same' ? file : `file ${file}; plan ${plan}`;
    return `${what.padEnd(13)} ${answer.padEnd(12)} ${values}`;
  });
  return `${ascii(lines.join('\n'))}\n`;
}

const HANGING = 15;
function hanging(label: string, text: string): string[] {
  const [first, ...rest] = wrapped(`${' '.repeat(HANGING)}${text}`);
  return [`${label.padEnd(HANGING)}${first!.trimStart()}`, ...rest];
}
