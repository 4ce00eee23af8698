import type { Polymer } from '../moisture/polymer.ts';
import { bendingStrain, type Sense, type WindingSet } from './bend.ts';
import { strainAtBreak, type Toughness } from './break.ts';

/** One bend, one strand, one possible truth. */
export type SnapCase = Readonly<{
  diameter: number;
  radius: number;
  set: WindingSet;
  /** `straight`: the strand has turned so that its set lies across the bend. */
  sense: Sense | 'straight';
  temperature: number;
  water: number;
  passed: number;
  polymer: Polymer;
  toughness: Toughness;
}>;

/** Margin of a bend, strain at break over strain [feed-12]; below 1 the strand snaps. */
export function bendMargin(of: SnapCase): number {
  const strain =
    of.sense === 'straight'
      ? bendingStrain(of.diameter, of.radius, { ...of.set, share: 0 }, 1)
      : bendingStrain(of.diameter, of.radius, of.set, of.sense);
  return strainAtBreak(of.polymer, of.toughness, of.temperature, of.water, of.passed) / strain;
}
