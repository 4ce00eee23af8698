import type { Kernel } from '../kernel.ts';
import { comparisonKernels } from './kernels-comparisons.ts';
import { designKernels } from './kernels-design.ts';
import { groupKernels } from './kernels-groups.ts';
import { resultKernels } from './kernels-results.ts';

/** Everything of this subject that can be reached from outside. */
export const kernels: Kernel[] = [...groupKernels, ...comparisonKernels, ...designKernels, ...resultKernels];
