import type { Draws } from '../draws.ts';
import type { Sorbent } from '../moisture/desiccant.ts';
import type { Desiccant, Place } from '../moisture/place.ts';
import type { Polymer } from '../moisture/polymer.ts';
import type { Winding } from '../moisture/winding.ts';
import { tableAt } from '../numerics/table.ts';

/**
 * From columns of draws to the parameters of the moisture module, one draw at a time. Entries are named as on the
 * cards; what a place does not have (no walls, no desiccant) its card says with nought.
 */

/** Heat capacity and the air between strands are taken at the middle of room and drying temperature. */
function atMiddle(draws: Draws, key: string, temperature: number, room: number): number {
  const { value } = draws.entry(key);
  if (typeof value === 'number') return value;
  if (value === null || typeof value === 'string') throw new Error(`"${key}" holds no table`);
  return tableAt((temperature + room) / 2, value);
}

/** Material laws of draw i. `warm`: the temperature at which the spool spends its hours [K]. */
export function polymerOf(draws: Draws, i: number, warm: number): Polymer {
  const at = (key: string) => draws.column(`strand.${key}`)[i]!;
  const room = draws.column('room.temperature')[i]!;
  return {
    fibreShare: at('fibre share'),
    polymerDensity: at('polymer density'),
    fibreDensity: at('fibre density'),
    heatCapacity: atMiddle(draws, 'strand.heat capacity', warm, room) * at('heat capacity'),
    monolayer: at('water held at saturation'),
    gabC: at('first layer of water'),
    gabK: at('later layers of water'),
    capacityFactor: at('water capacity factor'),
    excessHeat: at('excess heat of water'),
    glassDry: at('glass transition dry'),
    glassWet: at('glass transition wet'),
    glassWater: at('water that lowers it'),
    glassWidth: at('width of glass transition'),
    diffusivity: at('diffusivity at 23 C'),
    diffusionEnergy: at('energy of diffusion'),
    riseAboveGlass: at('rise above glass transition'),
  };
}

/** Winding of draw i, full as the spool stands at the start. */
export function windingOf(draws: Draws, i: number, warm: number): Winding {
  const at = (key: string) => draws.column(key)[i]!;
  return {
    strandDiameter: at('strand.diameter'),
    solidShare: at('spool.solid share of winding'),
    innerRadius: at('spool.hub radius'),
    outerRadius: at('spool.winding radius'),
    width: at('spool.width of winding'),
    strandConductivity: at('strand.conductivity across'),
    airConductivity: atMiddle(draws, 'air.conductivity', warm, at('room.temperature')),
    conductionFactor: at('spool.factor on conduction'),
    vapourFactor: at('spool.factor on vapour paths'),
    flangeThickness: at('spool.flange thickness'),
    flangeConductivity: at('spool.flange conductivity'),
    flangePermeance: at('spool.openness of flange'),
  };
}

/** Chamber air [K] with the bed at another temperature than the 100 C of the card; the rule stands on the card. */
function chamberOver(draws: Draws, i: number, bed: number): number {
  const settled = draws.column('chamber.settles at')[i]!;
  const room = draws.column('room.temperature')[i]!;
  return room + ((settled - CHAMBER_ROOM) * (bed - room)) / (CHAMBER_BED - CHAMBER_ROOM);
}
/** Bed and room at which the chamber cards give their temperature [K]: a definition of those cards. */
const CHAMBER_BED = 373.15;
const CHAMBER_ROOM = 296.15;

/** A dryer or box of draw i. `kind` is the kind of its card; `less`: kelvin below what is set, for a safe cap. */
export function placeOf(draws: Draws, i: number, kind: 'dryer' | 'box', less = 0): Place {
  const at = (key: string) => draws.column(key)[i]!;
  const own = (key: string) => at(`${kind}.${key}`);
  const room = at('room.temperature');
  const bed = draws.entry(`${kind}.heated by`).value === 'bed';
  const set = own('temperature') - less + (bed ? at('printer.bed off by') : 0);
  const shared = {
    volume: own('volume'),
    airChanges: own('air changes'),
    wallPermeance: own('openness of walls'),
    wallArea: own('area of walls'),
    roomTemperature: room,
    roomHumidity: at('room.humidity'),
    film: own('film on the spool'),
    hubFilm: own('film in the hub'),
    desiccant: kind === 'box' && draws.has('desiccant.dry mass') ? desiccantOf(draws, i) : null,
  };
  if (!bed)
    return { ...shared, mode: 'air', surroundings: room, airTemperature: set, airRamp: own('warms at') };
  return {
    ...shared,
    mode: 'bed',
    surroundings: chamberOver(draws, i, set),
    bedTemperature: set,
    bedStart: room,
    bedRamp: at('printer.bed warms at'),
    bedArea: own('bed beside the spool'),
    bedFilm: own('film over the bed'),
    contact: own('contact with bed'),
    wallLoss: own('losses of cover'),
    wallHeat: own('heat held by cover'),
  };
}

function desiccantOf(draws: Draws, i: number): Desiccant {
  const own = (key: string) => draws.column(`desiccant.${key}`)[i]!;
  return {
    mass: own('dry mass'),
    start: own('water in it at the start'),
    rate: own('takes up with rate'),
    sorbent: sorbentOf(draws, own),
  };
}

function sorbentOf(draws: Draws, own: (key: string) => number): Sorbent {
  return draws.has('desiccant.exponent')
    ? {
        kind: 'silica gel',
        capacity: own('capacity'),
        humidityScale: own('humidity scale'),
        exponent: own('exponent'),
      }
    : {
        kind: 'molecular sieve',
        capacity: own('capacity'),
        humidityHalf: own('humidity scale'),
        slope: own('slope'),
      };
}
