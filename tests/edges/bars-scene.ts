import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { HOME, makeRoom, put } from './scene.ts';

/** The invented campaign of 25 bars in tests/data/curves as a person would write it, with its four files of curves. */

export const CURVES = join(HOME, 'tests/data/curves');
export const PLATES = [1, 2, 3, 4].map((plate) => `campaign-plate-${plate}.csv`);

type GivenBar = Readonly<{
  bar: string;
  orientation: 'flat' | 'edge' | 'upright';
  plate: number;
  width_mm: readonly number[];
  thickness_mm: readonly number[];
  place_mm: readonly [number, number];
  note: string;
  valid: boolean;
}>;

export const GIVEN = JSON.parse(readFileSync(join(CURVES, 'campaign.json'), 'utf8')) as Readonly<{
  bars: readonly GivenBar[];
}>;

export function barsCampaign({
  question = '{ compare: [upright, flat], measure: strength, smallest difference: "10 %" }',
  conditioning = 'conditioning: dry as printed',
  more = (_: GivenBar): string => '',
} = {}): string {
  const plates = [1, 2, 3, 4].map((plate) => {
    const bars = GIVEN.bars
      .filter((bar) => bar.plate === plate)
      .map(
        ({ bar, orientation, place_mm: [x, y] }) => `${bar}: { group: ${orientation}, at: "${x} x ${y} mm" }`,
      );
    return `  - { name: ${plate}, bars: { ${bars.join(', ')} } }`;
  });
  const bars = GIVEN.bars.map((bar) => {
    const sizes = `width: "${bar.width_mm.join(', ')} mm", thickness: "${bar.thickness_mm.join(', ')} mm"`;
    const out = bar.valid ? '' : ', left out: broke at grip';
    const note = bar.note === '' ? '' : `, note: "${bar.note}"`;
    const spare = bar.note.startsWith('spare') ? ', spare: yes' : '';
    return `    ${bar.bar}: { ${sizes}${out}${note}${spare}${more(bar)} }`;
  });
  return `# Sensor brackets of a river-monitoring group, invented.
format: 1
campaign: Invented bars
invented: yes
question: ${question}
groups:
  - { name: flat, bar: 1B, orientation: flat, bars: 9 }
  - { name: edge, bar: 1B, orientation: on edge, bars: 9 }
  - { name: upright, bar: 1B, orientation: upright, bars: 9 }
plates:
${plates.join('\n')}
test:
  on: 2027-03-22
  ${conditioning}
  speed: { modulus: "1 mm/min", rest: "1 mm/min" }
  gauge length: "50 mm"
  grip distance: "115 mm"
  curves: [${PLATES.join(', ')}]
  bars:
${bars.join('\n')}
`;
}

/** A room with the campaign and its curves. */
export function makeBarsScene(wish: Parameters<typeof barsCampaign>[0] = {}): string {
  const room = makeRoom();
  put(room, 'campaign.yaml', barsCampaign(wish));
  for (const file of PLATES) put(room, file, readFileSync(join(CURVES, file)));
  return room;
}
