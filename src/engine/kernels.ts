import { kernels as air } from './air/kernels.ts';
import { kernels as curves } from './curves/kernels.ts';
import { kernels as feed } from './feed/kernels.ts';
import { kernels as gcode } from './gcode/kernels.ts';
import { syntheticKernel } from './gcode/synthetic-kernel.ts';
import { kernels as hotEnd } from './hot-end/kernels.ts';
import { kernels as jam } from './jam/kernels.ts';
import type { Kernel } from './kernel.ts';
import { kernels as moisture } from './moisture/kernels.ts';
import { kernels as plan } from './plan/kernels.ts';
import { kernels as results } from './results/kernels.ts';
import { kernels as statistics } from './statistics/kernels.ts';

/** Every kernel of the engine, by name; the one list that `bonedry compute` and the checks go through. */
export const KERNELS: ReadonlyMap<string, Kernel> = new Map(
  [
    ...air,
    ...curves,
    ...feed,
    ...gcode,
    syntheticKernel,
    ...hotEnd,
    ...jam,
    ...moisture,
    ...plan,
    ...results,
    ...statistics,
  ].map((kernel) => [kernel.name, kernel]),
);
