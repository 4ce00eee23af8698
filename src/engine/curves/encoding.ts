import { Refusal, type Source } from '../kernel.ts';

/**
 * Bytes of an export to bytes that can be read as ASCII, whatever wrote them: UTF-8 and Windows-1252 are left as they
 * are, UTF-16 is turned into UTF-8. Only headings and names are ever decoded to text.
 */

export type ExportText = Readonly<{
  /** Name for sentences. */
  name: string;
  /** A line feed stands at `length`, so that a loop over the last line needs no second test. */
  bytes: Uint8Array;
  length: number;
  encoding: 'UTF-8' | 'UTF-16' | 'Windows-1252';
  evidence: string;
}>;

/** Largest export that is read [bytes]. */
export const SIZE_MOST = 200e6;
/** Bytes that are looked at for signs of what kind of file it is. */
const HEAD = 4096;
/** Bytes read between two signs of progress. */
const PIECE = 8 << 20;

const LINE_FEED = 10;
const CARRIAGE_RETURN = 13;

type Decoder = { decode(bytes: Uint8Array): string };
type DecoderMaker = new (label: string, options?: { fatal?: boolean; ignoreBOM?: boolean }) => Decoder;
type EncoderMaker = new () => { encode(text: string): Uint8Array };
// Of the encoding standard, in every runtime; no library of types that the engine is checked against declares them.
const { TextDecoder, TextEncoder } = globalThis as unknown as {
  TextDecoder: DecoderMaker;
  TextEncoder: EncoderMaker;
};
const utf8 = new TextDecoder('utf-8', { ignoreBOM: true });
const windows1252 = new TextDecoder('windows-1252');

/** Reads a whole file of the edge, `share` 0 .. 1 of it after every piece. */
export function bytesOf(source: Source, progress?: (share: number) => void): Uint8Array {
  if (source.size > SIZE_MOST)
    throw new Refusal(
      `${source.name} has ${Math.round(source.size / 1e6)} MB; exports of up to ${SIZE_MOST / 1e6} MB are read.`,
    );
  const bytes = new Uint8Array(source.size);
  let filled = 0;
  while (filled < bytes.length) {
    const count = source.read(filled, bytes.subarray(filled, Math.min(filled + PIECE, bytes.length)));
    if (count === 0) break;
    filled += count;
    progress?.(filled / bytes.length);
  }
  return bytes.subarray(0, filled);
}

/**
 * Finds the encoding: a byte-order mark; else zero bytes in every second place (UTF-16); else valid UTF-8; else
 * Windows-1252.
 *
 * @throws Refusal on an empty file and on what is no text export
 */
export function exportText(name: string, raw: Uint8Array): ExportText {
  if (raw.length === 0) throw new Refusal(`${name} is empty. ${EXPECTED}`);
  refuseKnownKinds(name, raw);
  const mark = markOf(raw);
  if (mark?.encoding === 'UTF-16') return fromUtf16(name, raw, mark.label, 'byte-order mark');
  if (mark === null) {
    const label = zerosInEverySecondPlace(raw);
    if (label !== null) return fromUtf16(name, raw, label, 'every second byte is zero');
  }
  const body = mark === null ? raw : raw.subarray(mark.length);
  if (holdsControls(body)) throw new Refusal(`${name} is a binary file, no text. ${EXPECTED}`);
  if (mark !== null) return finish(name, body, 'UTF-8', 'byte-order mark');
  const kind = utf8Kind(body);
  if (kind === 'ascii') return finish(name, body, 'UTF-8', 'plain letters only');
  return kind === 'utf-8'
    ? finish(name, body, 'UTF-8', 'all bytes are valid UTF-8')
    : finish(name, body, 'Windows-1252', 'not valid UTF-8');
}

/** Text between two places of the bytes. */
export function textBetween(text: ExportText, from: number, to: number): string {
  const part = text.bytes.subarray(from, to);
  return text.encoding === 'Windows-1252' ? windows1252.decode(part) : utf8.decode(part);
}

const EXPECTED =
  'Expected the text export of a test machine: columns of numbers with force and travel or strain.';

/** Files that people take for an export, by how they begin. */
function refuseKnownKinds(name: string, raw: Uint8Array): void {
  const starts = (...bytes: number[]) => bytes.every((byte, k) => raw[k] === byte);
  if (starts(0x50, 0x4b, 3, 4) || starts(0xd0, 0xcf, 0x11, 0xe0))
    throw new Refusal(
      `${name} is a binary file (a spreadsheet or a packed folder). Save the sheet as text (CSV) and read that.`,
    );
  if (starts(0x25, 0x50, 0x44, 0x46))
    throw new Refusal(
      `${name} is a binary file (a PDF document). Export the readings as text (CSV) instead.`,
    );
  const head = windows1252.decode(raw.subarray(0, HEAD)).replaceAll('\0', '');
  if (/^[^a-z<]*<(!doctype html|html|head|body|script)\b/i.test(head) || /<html[\s>]/i.test(head))
    throw new Refusal(`${name} is a web page, no export. ${EXPECTED}`);
  if (/^[^a-z<]*<\?xml\b/i.test(head)) throw new Refusal(`${name} is XML. ${EXPECTED}`);
}

function markOf(
  raw: Uint8Array,
): { encoding: 'UTF-8' | 'UTF-16'; label: 'utf-8' | 'utf-16le' | 'utf-16be'; length: number } | null {
  if (raw[0] === 0xef && raw[1] === 0xbb && raw[2] === 0xbf)
    return { encoding: 'UTF-8', label: 'utf-8', length: 3 };
  if (raw[0] === 0xff && raw[1] === 0xfe) return { encoding: 'UTF-16', label: 'utf-16le', length: 2 };
  if (raw[0] === 0xfe && raw[1] === 0xff) return { encoding: 'UTF-16', label: 'utf-16be', length: 2 };
  return null;
}

/** Which half of the pairs of bytes is zero in at least four of five, or null. */
function zerosInEverySecondPlace(raw: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const pairs = Math.min(raw.length, HEAD) >> 1;
  if (pairs < 2) return null;
  let even = 0;
  let odd = 0;
  for (let k = 0; k < pairs; k++) {
    if (raw[2 * k] === 0) even++;
    if (raw[2 * k + 1] === 0) odd++;
  }
  if (odd >= 0.8 * pairs && even < 0.2 * pairs) return 'utf-16le';
  return even >= 0.8 * pairs && odd < 0.2 * pairs ? 'utf-16be' : null;
}

function fromUtf16(name: string, raw: Uint8Array, label: string, evidence: string): ExportText {
  const text = new TextDecoder(label).decode(raw.subarray(0, raw.length & ~1));
  const bytes = new TextEncoder().encode(text);
  if (holdsControls(bytes)) throw new Refusal(`${name} is a binary file, no text. ${EXPECTED}`);
  return finish(name, bytes, 'UTF-16', evidence);
}

/** Control characters that no text holds, in its first and last bytes. */
function holdsControls(bytes: Uint8Array): boolean {
  const bad = (byte: number) => byte < 9 || (byte > 13 && byte < 32 && byte !== 26 && byte !== 27);
  return bytes.subarray(0, HEAD).some(bad) || bytes.subarray(-HEAD).some(bad);
}

/** Whether the bytes are ASCII, valid UTF-8, or neither (RFC 3629: no overlong forms, no surrogates). */
function utf8Kind(bytes: Uint8Array): 'ascii' | 'utf-8' | 'other' {
  const end = bytes.length;
  let kind: 'ascii' | 'utf-8' = 'ascii';
  let at = 0;
  while (at < end) {
    const lead = bytes[at]!;
    if (lead < 0x80) {
      at++;
      continue;
    }
    kind = 'utf-8';
    const more = lead >= 0xf0 ? 3 : lead >= 0xe0 ? 2 : 1;
    if (lead < 0xc2 || lead > 0xf4 || at + more >= end) return 'other';
    const next = bytes[at + 1]!;
    if (lead === 0xe0 && next < 0xa0) return 'other';
    if (lead === 0xed && next > 0x9f) return 'other';
    if (lead === 0xf0 && next < 0x90) return 'other';
    if (lead === 0xf4 && next > 0x8f) return 'other';
    for (let k = 1; k <= more; k++) if ((bytes[at + k]! & 0xc0) !== 0x80) return 'other';
    at += more + 1;
  }
  return kind;
}

/** Adds the line feed behind the end, and makes line feeds of the carriage returns of a file that has no other ends. */
function finish(
  name: string,
  body: Uint8Array,
  encoding: ExportText['encoding'],
  evidence: string,
): ExportText {
  const bytes = new Uint8Array(body.length + 1);
  bytes.set(body);
  if (body.indexOf(LINE_FEED) < 0)
    for (let k = 0; k < body.length; k++) if (bytes[k] === CARRIAGE_RETURN) bytes[k] = LINE_FEED;
  bytes[body.length] = LINE_FEED;
  if (!body.some((byte) => byte > 32))
    throw new Refusal(`${name} is empty: it holds blanks alone. ${EXPECTED}`);
  return { name, bytes, length: body.length, encoding, evidence };
}
