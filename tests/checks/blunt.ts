/**
 * Values of checks that could be a tenth off and still pass, each with the reason. The runner demands that the list is
 * exact: a value that is sharp and stands here fails the run, and so does a blunt one that does not.
 */
export const BLUNT: Readonly<Record<string, Readonly<{ keys: string; why: string }>>> = {
  'parts-square': {
    keys: 'boxMm',
    why: 'a side at -0.25 mm; the tolerance of 0.6 mm is half a bead and two cells of the raster',
  },
  'parts-two-upright-support': {
    keys: 'solid',
    why: 'the solid share of a support is 0.3; the tolerance of 0.06 is the rim of cells round thin walls',
  },
  'bars-23-50-slow': { keys: 'days', why: 'the published fact is a band, 150 to 450 days' },
  'bars-23-50-fast': { keys: 'days', why: 'the published fact is a band, 150 to 450 days' },
  'trade-cold-snap': { keys: 'snaps', why: 'a trade fact: the band 0.75 to 1' },
  'trade-warm-pass': { keys: 'passes', why: 'a trade fact: the band 0.75 to 1' },
  'trade-box': { keys: 'share', why: 'a trade fact: the band 0.9 to 1' },
  'trade-bed': { keys: 'share', why: 'a trade fact: the band 0.4 to 0.9 is all that can be claimed' },
  'he-window-value': {
    keys: 'marginMin, residueMm',
    why: 'the error that the window scheme is allowed is wider than a tenth',
  },
  'he-wet-210-10': { keys: 'frontLast10Mm', why: 'a front measured within the tolerance of a cell' },
  'plug-unloaded': { keys: 'chanceStops', why: 'a chance near nought' },
  'export-p6-slip-grips-only': {
    keys: 'per_bar',
    why: 'strain without an extensometer is nominal: its tolerance of 0.0035 is wider than a tenth of it',
  },
  'export-p7-toe-extensometer-off': {
    keys: 'per_bar',
    why: 'strain after the extensometer came off is nominal: its tolerance of 0.0035 is wider than a tenth of it',
  },
  allocation: {
    keys: 'worst_r2',
    why: 'the tolerance that the check itself gives is wider than a tenth of this value',
  },
  'games-howell': {
    keys: 'pairs',
    why: 'the tolerance that the check itself gives is wider than a tenth of small p values',
  },
  'rounds-blocks': {
    keys: 'pairs',
    why: 'the tolerance that the check itself gives is wider than a tenth of small p values',
  },
  campaign: {
    keys: 'welch_F, F_plate',
    why: 'the tolerance that the check itself gives, 10 and 15 % for the scatter of the readings, is no narrower than a tenth',
  },
  'why-spread': { keys: 'family_10_90', why: 'ends of a wide spread' },
  'tell-after-2h10': { keys: 'gain', why: 'a small gain within the tolerance of the draws' },
  'why-2h10-dry': { keys: 'chance, family', why: 'chances of causes that are near nought' },
  'why-wet': { keys: 'chance, family', why: 'chances of causes that are near nought' },
  'why-cold-plug': { keys: 'chance, family', why: 'chances of causes that are near nought' },
  'why-fibre': { keys: 'chance, family', why: 'chances of causes that are near nought' },
  'why-snap': { keys: 'chance, family', why: 'chances of causes that are near nought' },
  'he-trade-order': {
    keys: 'holds',
    why: 'trade facts as chances: each has a band, and only their order is sure',
  },
  'he-levers': {
    keys: 'gain, holdsGivenJam',
    why: 'trade facts: that a lever helps at all, and that most machines that jammed hold with it',
  },
};
