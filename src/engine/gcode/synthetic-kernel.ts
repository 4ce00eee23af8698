import { z } from 'zod';
import { type Point, prism } from '../bars/outline.ts';
import { kernel, Refusal } from '../kernel.ts';
import { layerCount, layerTracks, type SyntheticPrint, usual } from './synthetic.ts';

const millimetre = 1e-3;
const positiveMm = z.number().positive().max(2000);

/** What a plan lays when there is no G-code yet, from the outline of one bar and their number. */
export const syntheticKernel = kernel({
  name: 'gcode.synthetic',
  what: 'Layers, volume and path of solid bars laid by the rules of the print without G-code',
  inputs: z.strictObject({
    outlineMm: z
      .array(z.tuple([z.number(), z.number()]))
      .min(3)
      .max(1000),
    heightMm: positiveMm,
    layerMm: positiveMm,
    widthMm: positiveMm,
    count: z.number().int().min(1).max(1000),
  }),
  outputs: z.strictObject({ layers: z.number(), laidMm3: z.number(), pathMm: z.number() }),
  run: ({ outlineMm, heightMm, layerMm, widthMm, count }) => {
    const layer = layerMm * millimetre;
    const solid = prism(
      outlineMm.map(([x, y]): Point => [x * millimetre, y * millimetre]),
      heightMm * millimetre,
    );
    if (!(solid.volume > 0))
      throw new Refusal('outlineMm encloses no area: give the corners of the bar seen from above, in order.');
    const layers = layerCount(solid.height, layer);
    if (layers > 100_000)
      throw new Refusal(`${heightMm} mm in layers of ${layerMm} mm are ${layers} layers: is the unit right?`);
    // Bars do not touch each other: one is laid, the others are like it.
    const print: SyntheticPrint = {
      ...usual,
      bars: [{ solid, at: [0, 0] }],
      layer,
      bead: widthMm * millimetre,
      flow: 1e-9,
    };
    let volume = 0;
    let path = 0;
    for (const tracks of layerTracks(print))
      for (const { points, section } of tracks)
        for (let i = 1; i < points.length; i++) {
          const length = Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
          path += length;
          volume += length * section;
        }
    return { layers, laidMm3: (count * volume) / millimetre ** 3, pathMm: (count * path) / millimetre };
  },
});
