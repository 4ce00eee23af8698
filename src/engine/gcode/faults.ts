/** `stop`: no verdict until the person has looked. `note`: shown and counted, the verdict stands. */
export type Level = 'stop' | 'note';

export type FaultCode =
  | 'arc-centre'
  | 'arc-radius'
  | 'bead-section'
  | 'checksum'
  | 'e-mode'
  | 'feed'
  | 'g10-offsets'
  | 'g92-shift'
  | 'inches'
  | 'macro'
  | 'malformed'
  | 'no-feed'
  | 'no-temperature'
  | 'not-a-command'
  | 'nothing-printed'
  | 'plane'
  | 'repeated-word'
  | 'second-tool'
  | 'spiral'
  | 'tool'
  | 'z-zero';

/** What the sentence about a fault needs; only what the fault has. */
export type FaultDetail = Readonly<{
  /** The offending line, cut short. */
  text?: string;
  /** Letter of the offending word, as written. */
  letter?: string;
  /** What stands after it, as written. */
  value?: string;
  /** Figures, such as the sum expected. */
  expected?: number;
  found?: number;
  /** Tool that is meant. */
  tool?: number;
  /** Tool that was chosen and laid nothing. */
  unused?: number;
}>;

export type Fault = Readonly<{
  /** 0: the whole file. */
  line: number;
  code: FaultCode;
  level: Level;
  detail: FaultDetail;
}>;

/** So many are listed; beyond that a person needs the counts. */
const LISTED_MOST = 100;

export class Faults {
  /** Per code and level, because some become known later than others: the first hundred by line are among these. */
  private readonly lists = new Map<string, Fault[]>();
  private readonly counts = new Map<string, number>();
  stops = 0;

  /** True where this fault would be listed, so that its excerpt is worth making. */
  wants(code: FaultCode, level: Level): boolean {
    return (this.lists.get(`${code} ${level}`)?.length ?? 0) < LISTED_MOST;
  }

  add(line: number, code: FaultCode, level: Level, detail: FaultDetail = {}): void {
    const key = `${code} ${level}`;
    if (level === 'stop') this.stops++;
    this.counts.set(key, (this.counts.get(key) ?? 0) + 1);
    const list = this.lists.get(key) ?? [];
    if (list.length === 0) this.lists.set(key, list);
    if (list.length < LISTED_MOST) list.push({ line, code, level, detail });
  }

  /** By line; the whole file last, by code. */
  sorted(): Fault[] {
    const rank = (fault: Fault) => (fault.line === 0 ? Number.MAX_SAFE_INTEGER : fault.line);
    return [...this.lists.values()]
      .flat()
      .sort((a, b) => rank(a) - rank(b) || (a.code < b.code ? -1 : a.code > b.code ? 1 : 0))
      .slice(0, LISTED_MOST);
  }

  /** How often each fault was met in all. */
  totals(): { code: FaultCode; level: Level; count: number }[] {
    return [...this.counts].map(([key, count]) => {
      const [code, level] = key.split(' ') as [FaultCode, Level];
      return { code, level, count };
    });
  }
}
