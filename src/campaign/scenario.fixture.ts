import { readdirSync, readFileSync } from 'node:fs';
import { readCards } from '../cards/card.ts';
import { findCards } from '../cards/find.ts';

/** The shipped cards and a campaign of the river-monitoring scenario for tests. All numbers are invented. */
export function shippedCards() {
  const files = readdirSync('cards', { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.yaml'))
    .sort()
    .map((name) => ({ name: `cards/${name}`, text: readFileSync(`cards/${name}`, 'utf8') }));
  return findCards(readCards(files).cards).set;
}

export const SCENARIO = `# Brackets for water-level sensors; the numbers of this file are invented.
format: 1
campaign: Sensor bracket, second round
invented: yes
question: { compare: [upright, flat], measure: strength, smallest difference: "10 %", power: 0.8 }
want: { comes off: 0.8, counts: 0.5, finish by: 2027-03-12 }
people:
  zone: Europe/Vienna
  there: [ { days: mon-fri, from: "07:30", to: "18:00" }, { days: sat, from: "09:00", to: "12:00" } ]
  away: [ 2027-02-26 ]
kit:
  printer: { card: enclosed-desktop, chamber: { at start: "25 C", settles at: "45 .. 58 C", after: "40 min" }, head: { clear around: "40 mm", below: "4 mm" } }
  hot end: { card: all-metal, nozzle: { bore: "0.4 mm", hard: yes, printed: "1.2 kg" } }
  sheet: { card: spring-steel-sheet, size: "260 x 220 mm", clamps: none, glue: yes }
  dryer: { card: bed-under-card-cover, at: "85 C", for: "10 h", flip: "every 5 h" } # as usual
  box: { card: heated-box, at: "65 C", path: [ { tube: "0.9 m" }, { bend: "60 mm x 45 deg" }, { bend: "35 mm x 90 deg" } ] }
  scale: { resolution: "1 g" }
spool: { card: pa6-cf-15, net: "750 g", body: card, dry at most: "100 C", since opened: [ { in: room, for: "40 h", air: "22 C, 50 %RH" } ] }
groups:
  - { name: flat,    bar: 1B, orientation: flat,    bars: 6 }
  - { name: upright, bar: 1B, orientation: upright, bars: 6 }
plates:
  - { name: A, print: { gcode: a.gcode }, bars: { 1: flat, 2: flat, 3: upright, 4: upright } }
  - { name: B, print: { layer: "0.2 mm", bead: "0.45 mm", flow: "6 mm3/s", supports: yes }, bars: { 1: flat, 2: upright } }
settings: { nozzle: "270 C", bed: "100 C", part fan: { least: "10 %", most: "30 %" }, retract: { length: "0.8 mm", speed: "30 mm/s" } }
events:
  - { at: 2027-03-02 08:18, did: started drying }
  - { at: 2027-03-02 08:20, weighed: "1243 g" }
  - { at: 2027-03-02 13:18, did: flipped }
  - { at: 2027-03-02 13:20, weighed: "1239 g" }
`;
