/** How a group is told apart in every picture of bars: shape first, then dash, colour last. */

const SHAPES = 4;
const DASHES = ['', '7 3', '2 3', '9 3 2 3'];
const of = (group: number) => ((group % SHAPES) + SHAPES) % SHAPES;

export const groupClass = (group: number) => `group-${of(group)}`;
export const groupDash = (group: number) => DASHES[of(group)] || undefined;

type MarkProps = Readonly<{
  group: number;
  x: number;
  y: number;
  /** Left-out bars are drawn open. */
  counts: boolean;
  size?: number;
  lit?: boolean;
}>;

/** Disc, square, triangle, diamond; a ring round the one that is meant. */
export function GroupMark({ group, x, y, counts, size = 4, lit = false }: MarkProps) {
  const shared = { class: `bar-mark ${groupClass(group)}${counts ? '' : ' out'}` };
  return (
    <>
      {lit && <circle class="ring" cx={x} cy={y} r={size + 3.5} />}
      {of(group) === 0 && <circle {...shared} cx={x} cy={y} r={size} />}
      {of(group) === 1 && (
        <rect {...shared} x={x - size * 0.9} y={y - size * 0.9} width={size * 1.8} height={size * 1.8} />
      )}
      {of(group) === 2 && (
        <path {...shared} d={`M${x} ${y - size * 1.15}l${size * 1.1} ${size * 2}h${-size * 2.2}z`} />
      )}
      {of(group) === 3 && (
        <path
          {...shared}
          d={`M${x} ${y - size * 1.2}l${size * 1.1} ${size * 1.2}l${-size * 1.1} ${size * 1.2}l${-size * 1.1} ${-size * 1.2}z`}
        />
      )}
    </>
  );
}

/** The mark beside words, as a key. */
export function GroupKey({ group, counts = true }: { group: number; counts?: boolean }) {
  return (
    <svg class="group-key" width="34" height="14" aria-hidden="true">
      <path class={`curve ${groupClass(group)}`} d="M0 7H34" stroke-dasharray={groupDash(group)} />
      <GroupMark group={group} x={17} y={7} counts={counts} />
    </svg>
  );
}
