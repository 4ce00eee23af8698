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
  'trade-box': { keys: 'share', why: 'a trade fact: the band 0.9 to 1' },
  'trade-bed': { keys: 'share', why: 'a trade fact: the band 0.4 to 0.9 is all that can be claimed' },
};
