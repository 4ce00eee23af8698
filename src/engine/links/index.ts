import { dry } from './dry.ts';
import type { Link } from './link.ts';

/** The links that are computed, in job order. Those of LINK_NAMES that stand not here read "not computed yet". */
export const LINKS: readonly Link[] = [dry];
