import { measure as chain } from './chain.ts';
import { measure as feed } from './feed.ts';
import { measure as gcode } from './gcode.ts';
import { measure as moisture } from './moisture.ts';
import { measure as results } from './results.ts';

/** `npm run speed`: tables of what was measured in this run, as ratios to a baseline of the same run. */
for (const measure of [gcode, moisture, feed, chain, results]) {
  const { title, rows } = await measure();
  process.stdout.write(`\n${title}\n`);
  const widths = [0, 1].map((k) => Math.max(...rows.map((row) => [row.what, row.value][k]!.length)));
  for (const { what, value, note } of rows)
    process.stdout.write(`  ${what.padEnd(widths[0]!)}  ${value.padStart(widths[1]!)}  ${note}\n`);
}
