import { dry } from './dry.ts';
import { feed } from './feed.ts';
import type { Link } from './link.ts';
import { stayDry } from './stay-dry.ts';

/** The links that are computed, in job order. Those of LINK_NAMES that stand not here read "not computed yet". */
export const LINKS: readonly Link[] = [dry, stayDry, feed];
