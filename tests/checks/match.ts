/**
 * Compares what a kernel gave with what a check expects (tests/checks/README.md tells the form).
 * A tolerance may stand for one key or for all; `rel` and `abs` together: the wider of the two.
 */
export type Tolerance = 'exact' | 'contains' | { rel?: number; abs?: number; min?: number; max?: number };

export type CheckFile = {
  id: string;
  what: string;
  kernel: string | null;
  how?: string;
  inputs: unknown;
  expected: Record<string, unknown>;
  tolerance: unknown;
  source: string;
  kind: string;
};

const OWN_WORDS = new Set(['rel', 'abs', 'min', 'max', 'all']);

function toleranceOf(check: CheckFile, key: string): Tolerance {
  const { tolerance } = check;
  if (typeof tolerance === 'string') return tolerance as Tolerance;
  const record = tolerance as Record<string, unknown>;
  if (key in record && !OWN_WORDS.has(key)) return record[key] as Tolerance;
  if ('all' in record) return record['all'] as Tolerance;
  const general = Object.fromEntries(Object.entries(record).filter(([word]) => OWN_WORDS.has(word)));
  return Object.keys(general).length > 0 ? (general as Tolerance) : 'exact';
}

/** Every difference in words; empty when the result fits. */
export function differences(check: CheckFile, result: Record<string, unknown>): string[] {
  return Object.entries(check.expected).flatMap(([key, wanted]) =>
    key in result
      ? compare(wanted, result[key], toleranceOf(check, key), key, check.tolerance)
      : [`${key} is missing from the result`],
  );
}

function compare(wanted: unknown, got: unknown, tolerance: Tolerance, at: string, all: unknown): string[] {
  if (Array.isArray(wanted)) {
    if (tolerance === 'contains')
      return wanted
        .filter((value) => !(Array.isArray(got) && got.includes(value)))
        .map((value) => `${at} does not contain ${JSON.stringify(value)}`);
    if (!Array.isArray(got) || got.length !== wanted.length)
      return [`${at}: ${wanted.length} values expected, got ${JSON.stringify(got)?.slice(0, 200)}`];
    return wanted.flatMap((value, k) => compare(value, got[k], tolerance, `${at}[${k}]`, all));
  }
  if (wanted !== null && typeof wanted === 'object') {
    const record = (got ?? {}) as Record<string, unknown>;
    // A tolerance may name a key at any depth.
    const deep = typeof all === 'object' ? (all as Record<string, Tolerance>) : {};
    const own = typeof tolerance === 'object' ? (tolerance as Record<string, Tolerance>) : {};
    return Object.entries(wanted).flatMap(([key, value]) =>
      compare(
        value,
        record[key],
        own[key] ?? (OWN_WORDS.has(key) ? undefined : deep[key]) ?? tolerance,
        `${at}.${key}`,
        all,
      ),
    );
  }
  if (tolerance === 'contains')
    return String(got).includes(String(wanted)) ? [] : [`${at}: "${got}" does not contain "${wanted}"`];
  if (typeof wanted !== 'number' || tolerance === 'exact')
    return Object.is(wanted, got) ? [] : [`${at}: expected ${wanted}, got ${got}`];
  if (typeof got !== 'number' || Number.isNaN(got)) return [`${at}: expected ${wanted}, got ${got}`];
  const { rel = 0, abs = 0, min, max } = tolerance;
  if (min !== undefined || max !== undefined)
    return got >= (min ?? -Infinity) && got <= (max ?? Infinity)
      ? []
      : [`${at}: ${got} outside ${min} .. ${max}`];
  const allowed = Math.max(abs, rel * Math.abs(wanted));
  return Math.abs(got - wanted) <= allowed ? [] : [`${at}: expected ${wanted} within ${allowed}, got ${got}`];
}

/** Every leaf of what is expected, by its path; `at` reads it, `put` gives a copy with another value there. */
export function leaves(expected: unknown, path: readonly (string | number)[] = []): (string | number)[][] {
  if (expected !== null && typeof expected === 'object')
    return Object.entries(expected).flatMap(([key, value]) =>
      leaves(value, [...path, Array.isArray(expected) ? Number(key) : key]),
    );
  return [[...path]];
}

export function at(expected: unknown, path: readonly (string | number)[]): unknown {
  return path.reduce<unknown>((value, key) => (value as Record<string | number, unknown>)[key], expected);
}

export function put(expected: unknown, path: readonly (string | number)[], value: unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return value;
  const copy = Array.isArray(expected) ? [...expected] : { ...(expected as object) };
  (copy as Record<string | number, unknown>)[key] = put(at(expected, [key]), rest, value);
  return copy;
}

/** What a leaf is changed to, to see whether its check can fail: a tenth higher and lower, or another word. */
export function spoiled(value: unknown): unknown[] {
  if (typeof value === 'number') return value === 0 ? [] : [value * 1.1, value * 0.9];
  if (typeof value === 'boolean') return [!value];
  if (typeof value === 'string') return [`${value} and something else`];
  return ['something else'];
}
