import { Inflate, strFromU8 } from 'fflate';
import { Refusal, type Source } from '../kernel.ts';
import { crc32 } from '../numerics/crc32.ts';

/**
 * Zip containers, as far as G-code needs them: the central directory, and one member as a stream. Stored and deflated
 * members only. Source: the open specification of the zip format, layout of the records (from memory).
 */
export type Member = Readonly<{
  name: string;
  /** Bytes of the name, which decide the order of a list. */
  nameBytes: Uint8Array;
  method: number;
  encrypted: boolean;
  crc: number;
  packedSize: number;
  size: number;
  /** Where its local header stands. */
  at: number;
}>;

const STORED = 0;
const DEFLATED = 8;
const LOCAL = 0x04034b50;
const ENTRY = 0x02014b50;
const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR_64 = 0x07064b50;
/** In a field of 32 bits: the value stands in the extension for large files. */
const ELSEWHERE = 0xffffffff;
const EXTENSION_64 = 1;
const END_SIZE = 22;
const LOCATOR_64_SIZE = 20;
const COMMENT_MOST = 65535;
/** A directory larger than this holds no print: 64 MB would be about a million members. */
const DIRECTORY_MOST = 64 * 1024 * 1024;
/** Bytes read at once. */
const PIECE = 64 * 1024;

function damaged(source: Source, what: string): Refusal {
  return new Refusal(`${source.name} is a zip that is damaged (${what}): export or download it again.`);
}

function readExactly(source: Source, at: number, length: number, what: string): Uint8Array {
  const bytes = new Uint8Array(length);
  let done = 0;
  while (done < length) {
    const n = source.read(at + done, bytes.subarray(done));
    if (n <= 0) throw damaged(source, what);
    done += n;
  }
  return bytes;
}

const u16 = (b: Uint8Array, p: number) => b[p]! | (b[p + 1]! << 8);
const u32 = (b: Uint8Array, p: number) => (u16(b, p) | (u16(b, p + 2) << 16)) >>> 0;
/** Sizes up to 2^53, more than any file has. */
const u64 = (b: Uint8Array, p: number) => u32(b, p) + u32(b, p + 4) * 2 ** 32;

/** All members, in the order of the directory. */
export function directory(source: Source): Member[] {
  const tailSize = Math.min(source.size, END_SIZE + COMMENT_MOST);
  const tailAt = source.size - tailSize;
  const tail = readExactly(source, tailAt, tailSize, 'its end is missing');
  let end = tailSize - END_SIZE;
  while (end >= 0 && !(u32(tail, end) === END && end + END_SIZE + u16(tail, end + 20) <= tailSize)) end--;
  if (end < 0) throw damaged(source, 'its list of members is missing');
  let count = u16(tail, end + 10);
  let size = u32(tail, end + 12);
  let at = u32(tail, end + 16);
  if (u16(tail, end + 4) !== u16(tail, end + 6) || u16(tail, end + 8) !== count)
    throw new Refusal(
      `${source.name} is one part of a zip in several files: join them, or export it as one file.`,
    );
  if (count === 0xffff || size === ELSEWHERE || at === ELSEWHERE) {
    const locatorAt = tailAt + end - LOCATOR_64_SIZE;
    if (locatorAt < 0) throw damaged(source, 'its list of members is missing');
    const locator = readExactly(source, locatorAt, LOCATOR_64_SIZE, 'its end is missing');
    if (u32(locator, 0) !== LOCATOR_64) throw damaged(source, 'its list of members is missing');
    const record = readExactly(source, u64(locator, 8), 56, 'its list of members is missing');
    if (u32(record, 0) !== END_64) throw damaged(source, 'its list of members is missing');
    count = u64(record, 32);
    size = u64(record, 40);
    at = u64(record, 48);
  }
  if (at + size > source.size || size > DIRECTORY_MOST)
    throw damaged(source, 'its list of members lies outside the file');
  const list = readExactly(source, at, size, 'its list of members is cut off');
  const members: Member[] = [];
  let p = 0;
  for (let k = 0; k < count; k++) {
    if (p + 46 > size || u32(list, p) !== ENTRY) throw damaged(source, 'its list of members cannot be read');
    const nameLength = u16(list, p + 28);
    const extraLength = u16(list, p + 30);
    const next = p + 46 + nameLength + extraLength + u16(list, p + 32);
    if (next > size) throw damaged(source, 'its list of members is cut off');
    const nameBytes = list.slice(p + 46, p + 46 + nameLength);
    const large = largeFields(list, p + 46 + nameLength, extraLength);
    const take = (value: number) => {
      if (value !== ELSEWHERE) return value;
      const from = large.shift();
      if (from === undefined) throw damaged(source, 'a size is missing from its list');
      return from;
    };
    const fullSize = take(u32(list, p + 24));
    const packedSize = take(u32(list, p + 20));
    members.push({
      name: strFromU8(nameBytes),
      nameBytes,
      method: u16(list, p + 10),
      encrypted: (u16(list, p + 8) & 1) !== 0,
      crc: u32(list, p + 16),
      packedSize,
      size: fullSize,
      at: take(u32(list, p + 42)),
    });
    p = next;
  }
  return members;
}

/** Values of the extension for large files, in its fixed order: size, packed size, place. */
function largeFields(list: Uint8Array, from: number, length: number): number[] {
  for (let p = from; p + 4 <= from + length; p += 4 + u16(list, p + 2)) {
    if (u16(list, p) !== EXTENSION_64) continue;
    const values: number[] = [];
    const end = Math.min(p + 4 + u16(list, p + 2), from + length);
    for (let q = p + 4; q + 8 <= end; q += 8) values.push(u64(list, q));
    return values;
  }
  return [];
}

/**
 * Bytes of a member, piece by piece; sum and size are checked at the end, before the caller may use what it has read.
 *
 * @param take gets each piece; it must not keep the array
 * @throws Refusal where the member is encrypted, packed by another method, or not what the directory says
 */
export function memberBytes(source: Source, member: Member, take: (piece: Uint8Array) => void): void {
  if (member.encrypted)
    throw new Refusal(
      `${member.name} in ${source.name} is encrypted: take the password off and save it again.`,
    );
  if (member.method !== STORED && member.method !== DEFLATED)
    throw new Refusal(
      `${member.name} in ${source.name} is packed by method ${member.method}, which is not read here: pack it again the usual way (deflate), or take it out of the zip.`,
    );
  const broken = () =>
    new Refusal(
      `${member.name} in ${source.name} is damaged: what comes out is not what the zip promises. Export or download it again.`,
    );
  const head = readExactly(source, member.at, 30, 'a member is missing');
  if (u32(head, 0) !== LOCAL) throw damaged(source, 'a member is not where its list says');
  let at = member.at + 30 + u16(head, 26) + u16(head, 28);
  let sum = 0;
  let out = 0;
  const give = (piece: Uint8Array) => {
    out += piece.length;
    if (out > member.size) throw broken();
    sum = crc32(piece, sum);
    take(piece);
  };
  const inflate = member.method === DEFLATED ? new Inflate((piece) => give(piece)) : null;
  let left = member.packedSize;
  if (left === 0 && inflate) throw broken();
  while (left > 0) {
    // A fresh piece each time: the inflater keeps the end of the one before.
    const piece = new Uint8Array(Math.min(PIECE, left));
    const n = source.read(at, piece);
    if (n <= 0) throw damaged(source, `${member.name} is cut off`);
    at += n;
    left -= n;
    const bytes = n < piece.length ? piece.subarray(0, n) : piece;
    if (!inflate) give(bytes);
    else
      try {
        inflate.push(bytes, left === 0);
      } catch (fault) {
        if (isInflateFault(fault)) throw broken();
        throw fault;
      }
  }
  if (out !== member.size || sum !== member.crc) throw broken();
}

/** Faults of the packed data carry a number as code; ours do not. */
function isInflateFault(fault: unknown): boolean {
  return fault instanceof Error && typeof (fault as { code?: unknown }).code === 'number';
}
