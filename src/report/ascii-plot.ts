/** A small curve for a terminal: points in a grid of signs, the origin at the lower left. */
export function asciiPlot(
  points: readonly (readonly [number, number])[],
  { columns = 60, rows = 9 }: Readonly<{ columns?: number; rows?: number }> = {},
): string[] {
  if (points.length === 0) return [];
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(0, ...ys), Math.max(...ys)];
  const grid = Array.from({ length: rows }, () => new Array<string>(columns).fill(' '));
  for (const [x, y] of points) {
    const column = right > left ? Math.round(((x - left) / (right - left)) * (columns - 1)) : 0;
    const row = high > low ? Math.round(((y - low) / (high - low)) * (rows - 1)) : 0;
    grid[rows - 1 - row]![column] = '.';
  }
  return [...grid.map((row) => `|${row.join('').trimEnd()}`), `+${'-'.repeat(columns)}`];
}
