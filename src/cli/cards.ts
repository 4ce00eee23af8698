import { resolve } from 'node:path';
import type { Command } from 'commander';
import { readCards } from '../cards/card.ts';
import { findCards } from '../cards/find.ts';
import { KINDS } from '../cards/kinds.ts';
import { nearest } from '../cards/nearest.ts';
import { InputFault } from '../problem.ts';
import { readText, shippedCards } from '../work/library.ts';
import type { Terminal } from './terminal.ts';

/** `bonedry cards [KIND]` lists cards; `bonedry cards check FILE` checks one. */
export function cardsCommand(program: Command, terminal: Terminal): void {
  const cards = program
    .command('cards')
    .description('list the cards that values stand on')
    .argument('[kind]');
  cards.action((kind: string | undefined) => {
    if (kind !== undefined && !Object.hasOwn(KINDS, kind)) {
      const near = nearest(kind, Object.keys(KINDS));
      throw new InputFault([
        {
          code: 'unknown-kind',
          message: `"${kind}" is not a kind of card.`,
          expected: near ? `"${near}"` : `one of ${Object.keys(KINDS).join(', ')}`,
        },
      ]);
    }
    for (const card of shippedCards().filter((one) => kind === undefined || one.kind === kind))
      terminal.out(`${`${card.kind}/${card.name}`.padEnd(38)} ${card.whatItIs}\n`);
  });
  cards
    .command('check <file>')
    .description('check one card')
    .action((file: string) => {
      const path = resolve(terminal.folder, file);
      const { cards: read, problems } = readCards([{ name: path, text: readText(path, file) }], true);
      const found = problems.length > 0 ? problems : findCards(shippedCards(), read).problems;
      if (found.length > 0)
        throw new InputFault(found.map((problem) => ({ ...problem, where: { ...problem.where, file } })));
      terminal.out(`${file} is sound.\n`);
    });
}
