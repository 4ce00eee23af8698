import type { Kernel } from '../kernel.ts';
import { kernels as partKernels } from './kernels-parts.ts';
import { kernels as whyKernels } from './kernels-why.ts';

export const kernels: readonly Kernel[] = [...partKernels, ...whyKernels];
