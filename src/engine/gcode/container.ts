import { Refusal, type Source } from '../kernel.ts';
import { directory, type Member, memberBytes } from './zip.ts';

/**
 * What a file is: plain G-code, a zip that holds it (also the open 3MF package, which is a zip by the Open Packaging
 * Conventions), or neither. Nothing is written to disk, and no more is read than is needed.
 */
export type Opened = Readonly<{
  container: 'plain' | 'zip';
  /** G-code members of a zip, sorted by the bytes of their names; empty for a plain file. */
  members: readonly string[];
  /** Member to be read; null for a plain file, or while the person is asked. */
  chosen: string | null;
  ask: boolean;
}>;

/** First bytes that are looked at to tell text from anything else. */
const HEAD = 65536;
/** More control characters than this share: no text. */
const CONTROL_SHARE = 0.1;
const ENDINGS = ['.gcode', '.gco', '.g', '.nc'];
/** Bytes of a plain file read at once: within a cache, and few calls. */
const PIECE = 256 * 1024;
/** Names listed in a sentence. */
const LISTED_MOST = 12;

/**
 * Container and members of a file.
 *
 * @param member name asked for, where there are several
 * @throws Refusal, one sentence with the file's name and the way out: empty, binary, damaged, no G-code inside
 */
export function openGcode(source: Source, member?: string): Opened {
  const { opened, head } = look(source, member);
  if (head) refuseBinary(head, source.name);
  return opened;
}

/**
 * Streams the G-code of a file: pieces cut anywhere, in order.
 *
 * @param take gets each piece and the number of bytes expected in all; it must not keep the array
 * @throws Refusal also where several members are there and none is named
 */
export function gcodeBytes(
  source: Source,
  member: string | undefined,
  take: (piece: Uint8Array, size: number) => void,
): Opened {
  const { opened, entry, head } = look(source, member);
  if (head) {
    refuseBinary(head, source.name);
    take(head, source.size);
    const buffer = new Uint8Array(PIECE);
    let at = head.length;
    for (let n = source.read(at, buffer); n > 0; n = source.read(at, buffer)) {
      at += n;
      take(n < buffer.length ? buffer.subarray(0, n) : buffer, source.size);
    }
    return opened;
  }
  if (!entry)
    throw new Refusal(
      `${source.name} holds several prints: ${listed(opened.members)}. Name the one to read (--member NAME).`,
    );
  if (entry.size === 0) throw new Refusal(`${entry.name} in ${source.name} is empty: export it again.`);
  // The first bytes of the member are held back until they are enough to tell text from anything else.
  let first: Uint8Array | null = new Uint8Array(Math.min(HEAD, entry.size));
  let held = 0;
  memberBytes(source, entry, (piece) => {
    let rest = piece;
    if (first) {
      const part = piece.subarray(0, first.length - held);
      first.set(part, held);
      held += part.length;
      if (held < first.length) return;
      refuseBinary(first, `${entry.name} in ${source.name}`);
      take(first, entry.size);
      first = null;
      rest = piece.subarray(part.length);
    }
    if (rest.length > 0) take(rest, entry.size);
  });
  return opened;
}

function look(
  source: Source,
  asked: string | undefined,
): { opened: Opened; entry: Member | null; head: Uint8Array | null } {
  if (source.size === 0) throw new Refusal(`${source.name} is empty: export it again as plain G-code.`);
  const head = new Uint8Array(Math.min(HEAD, source.size));
  let done = 0;
  while (done < head.length) {
    const n = source.read(done, head.subarray(done));
    if (n <= 0) break;
    done += n;
  }
  const start = head.subarray(0, done);
  if (!isZip(start)) {
    if (asked !== undefined)
      throw new Refusal(
        `${source.name} is plain G-code and holds no ${asked}: leave the name of the member out.`,
      );
    return {
      opened: { container: 'plain', members: [], chosen: null, ask: false },
      entry: null,
      head: start,
    };
  }
  const entries = directory(source)
    .filter((member) => counts(member.name))
    .sort((a, b) => compareBytes(a.nameBytes, b.nameBytes));
  const members = entries.map((entry) => entry.name);
  if (entries.length === 0)
    throw new Refusal(
      `${source.name} is a zip without G-code (${ENDINGS.join(', ')}): export the print as plain G-code.`,
    );
  if (asked !== undefined && !members.includes(asked))
    throw new Refusal(`${source.name} holds no ${asked}: it holds ${listed(members)}.`);
  const entry =
    asked === undefined ? (entries.length === 1 ? entries[0]! : null) : entries[members.indexOf(asked)]!;
  return {
    opened: { container: 'zip', members, chosen: entry?.name ?? null, ask: entry === null },
    entry,
    head: null,
  };
}

function listed(names: readonly string[]): string {
  const shown = names.slice(0, LISTED_MOST).join(', ');
  return names.length > LISTED_MOST ? `${shown} and ${names.length - LISTED_MOST} more` : shown;
}

function isZip(head: Uint8Array): boolean {
  return (
    head[0] === 0x50 &&
    head[1] === 0x4b &&
    ((head[2] === 3 && head[3] === 4) || (head[2] === 5 && head[3] === 6))
  );
}

/** Members that count: by ending, and no part of the path hidden or set aside. */
function counts(name: string): boolean {
  const lower = name.toLowerCase();
  return (
    ENDINGS.some((ending) => lower.endsWith(ending)) &&
    name.split(/[/\\]/).every((part) => !part.startsWith('.') && !part.startsWith('__'))
  );
}

function compareBytes(a: Uint8Array, b: Uint8Array): number {
  const n = Math.min(a.length, b.length);
  for (let k = 0; k < n; k++) if (a[k] !== b[k]) return a[k]! - b[k]!;
  return a.length - b.length;
}

function refuseBinary(head: Uint8Array, name: string): void {
  if (!isText(head))
    throw new Refusal(
      `${name} is binary, neither plain G-code nor a zip that holds it: export it as plain G-code.`,
    );
}

/** True where at most a tenth are control characters and all is valid UTF-8, a character cut by the end left out. */
export function isText(head: Uint8Array): boolean {
  let controls = 0;
  const n = head.length;
  let p = 0;
  while (p < n) {
    const c = head[p]!;
    if (c < 0x80) {
      if ((c < 32 && c !== 9 && c !== 10 && c !== 13) || c === 127) controls++;
      p++;
      continue;
    }
    // Lead byte to number of following bytes; overlong forms and surrogates are no UTF-8 (Unicode, table 3-7).
    const more = c >= 0xc2 && c <= 0xdf ? 1 : c >= 0xe0 && c <= 0xef ? 2 : c >= 0xf0 && c <= 0xf4 ? 3 : 0;
    if (more === 0) return false;
    for (let k = 1; k <= more; k++) {
      if (p + k >= n) return controls <= CONTROL_SHARE * n;
      const d = head[p + k]!;
      const low = k > 1 ? 0x80 : c === 0xe0 ? 0xa0 : c === 0xf0 ? 0x90 : 0x80;
      const high = k > 1 ? 0xbf : c === 0xed ? 0x9f : c === 0xf4 ? 0x8f : 0xbf;
      if (d < low || d > high) return false;
    }
    p += 1 + more;
  }
  return controls <= CONTROL_SHARE * n;
}
