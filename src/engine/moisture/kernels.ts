import type { Kernel } from '../kernel.ts';
import { ensembleKernels } from './kernels-ensemble.ts';
import { spoolKernel } from './kernels-spool.ts';
import { strandKernels } from './kernels-strand.ts';

/** Everything of this subject that can be reached from outside. */
export const kernels: Kernel[] = [...strandKernels, spoolKernel, ...ensembleKernels];
