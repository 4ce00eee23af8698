import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { Refusal, type Source } from '../kernel.ts';
import { gcodeBytes, isText, openGcode } from './container.ts';
import { memorySource } from './trial.ts';

// Goal: what cannot be read is refused with one sentence that names the file and the way out, and no more of it is
// read than that takes. Method: whole and damaged files in memory.

const code = strToU8('G90\nM83\nG1 X10 E1 F600\n'.repeat(200));

function refusal(source: Source, member?: string): string {
  try {
    gcodeBytes(source, member, () => {});
  } catch (fault) {
    if (fault instanceof Refusal) return fault.message;
    throw fault;
  }
  return 'read';
}

function readAll(source: Source, member?: string): Uint8Array {
  const pieces: Uint8Array[] = [];
  gcodeBytes(source, member, (piece) => pieces.push(piece.slice()));
  const all = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/** Place of the entry of the only member in the central directory. */
const entryAt = (zip: Uint8Array) => {
  const view = new DataView(zip.buffer, zip.byteOffset);
  return view.getUint32(zip.length - 22 + 16, true);
};

function changed(
  zip: Uint8Array,
  change: (bytes: Uint8Array, entry: number, view: DataView) => void,
): Source {
  const copy = zip.slice();
  change(copy, entryAt(copy), new DataView(copy.buffer));
  return memorySource('a.zip', copy);
}

describe('plain files', () => {
  it('come out as they are, in whatever pieces the source gives', () => {
    expect(readAll(memorySource('a.gcode', code))).toEqual(code);
    expect(readAll(memorySource('a.gcode', code, 1000))).toEqual(code);
  });

  it('that are empty are refused', () => {
    expect(refusal(memorySource('a.gcode', new Uint8Array(0)))).toBe(
      'a.gcode is empty: export it again as plain G-code.',
    );
  });

  it('of a gigabyte of zeros are refused from the first 65536 bytes', () => {
    let furthest = 0;
    const source: Source = {
      name: 'zeros.gcode',
      size: 1e9,
      read(offset, into) {
        furthest = Math.max(furthest, offset + into.length);
        into.fill(0);
        return into.length;
      },
    };
    expect(refusal(source)).toBe(
      'zeros.gcode is binary, neither plain G-code nor a zip that holds it: export it as plain G-code.',
    );
    expect(furthest).toBe(65536);
  });

  it('do not hold a member that is asked for', () => {
    expect(refusal(memorySource('a.gcode', code), 'b.gcode')).toContain(
      'a.gcode is plain G-code and holds no b.gcode',
    );
  });
});

describe('text or not', () => {
  it('a tenth of control characters is text, more is not', () => {
    const at = (controls: number) => Uint8Array.from({ length: 100 }, (_, k) => (k < controls ? 1 : 65));
    expect(isText(at(10))).toBe(true);
    expect(isText(at(11))).toBe(false);
  });

  it('UTF-8 is text, also cut inside a character; Latin-1, overlong forms and surrogates are not', () => {
    const words = new TextEncoder().encode('; Schraubstock für Prüfstäbe, 5 € 🙂');
    for (let cut = 0; cut <= words.length; cut++)
      expect(isText(words.subarray(0, cut)), `cut at ${cut}`).toBe(true);
    expect(isText(Uint8Array.of(59, 0xe9, 65))).toBe(false);
    expect(isText(Uint8Array.of(0xc0, 0xaf, 65))).toBe(false);
    expect(isText(Uint8Array.of(0xed, 0xa0, 0x80, 65))).toBe(false);
    expect(isText(Uint8Array.of(0xf4, 0x90, 0x80, 0x80))).toBe(false);
  });
});

describe('containers', () => {
  const zip = zipSync({ 'a.gcode': code, 'notes.txt': strToU8('x') });
  const single = zipSync({ 'a.gcode': code });

  it('give their one G-code member', () => {
    expect(openGcode(memorySource('a.zip', zip))).toEqual({
      container: 'zip',
      members: ['a.gcode'],
      chosen: 'a.gcode',
      ask: false,
    });
    expect(readAll(memorySource('a.zip', zip, 100))).toEqual(code);
  });

  it('list members by the bytes of their names, hidden ones left out, endings in any case', () => {
    const many = zipSync({
      'b.GCODE': code,
      'a/c.nc': code,
      'ä.g': code,
      'Z.gco': code,
      '.hidden/x.gcode': code,
      '__MACOSX/y.gcode': code,
      'plate.gcode.sum': code,
    });
    const opened = openGcode(memorySource('a.zip', many));
    expect(opened.members).toEqual(['Z.gco', 'a/c.nc', 'b.GCODE', 'ä.g']);
    expect(opened.ask).toBe(true);
    expect(refusal(memorySource('a.zip', many))).toBe(
      'a.zip holds several prints: Z.gco, a/c.nc, b.GCODE, ä.g. Name the one to read (--member NAME).',
    );
    expect(readAll(memorySource('a.zip', many), 'ä.g')).toEqual(code);
    expect(refusal(memorySource('a.zip', many), 'q.g')).toContain('a.zip holds no q.g: it holds Z.gco');
  });

  it('without G-code are refused, also quite empty ones', () => {
    for (const bytes of [zipSync({ 'notes.txt': code }), zipSync({})])
      expect(refusal(memorySource('a.zip', bytes))).toBe(
        'a.zip is a zip without G-code (.gcode, .gco, .g, .nc): export the print as plain G-code.',
      );
  });

  it('whose member is no text are refused, named with the zip', () => {
    const bytes = zipSync({ 'a.gcode': new Uint8Array(70_000) });
    expect(refusal(memorySource('a.zip', bytes))).toContain('a.gcode in a.zip is binary');
    expect(refusal(memorySource('a.zip', zipSync({ 'a.gcode': new Uint8Array(0) })))).toContain('is empty');
  });

  it('that are encrypted, or packed by another method, are refused', () => {
    const encrypted = changed(single, (b, entry) => {
      b[entry + 8] = b[entry + 8]! | 1;
    });
    expect(refusal(encrypted)).toContain('a.gcode in a.zip is encrypted');
    const other = changed(single, (b, entry) => {
      b[entry + 10] = 12;
    });
    expect(refusal(other)).toContain('packed by method 12');
  });

  it('whose sum is wrong, or out of which more or less comes than the directory says, are refused', () => {
    const broken = 'a.gcode in a.zip is damaged: what comes out is not what the zip promises.';
    const wrongSum = changed(single, (b, entry) => {
      b[entry + 16] = b[entry + 16]! ^ 1;
    });
    expect(refusal(wrongSum)).toContain(broken);
    for (const off of [-1, 1]) {
      const wrongSize = changed(single, (_, entry, view) =>
        view.setUint32(entry + 24, code.length + off, true),
      );
      expect(refusal(wrongSize)).toContain(broken);
    }
  });

  it('stop as soon as more bytes come out than the directory says', () => {
    const bomb = zipSync({ 'a.gcode': strToU8('G1 X1\n'.repeat(1_000_000)) });
    const source = changed(bomb, (_, entry, view) => view.setUint32(entry + 24, 70_000, true));
    let out = 0;
    expect(() =>
      gcodeBytes(source, undefined, (piece) => {
        out += piece.length;
      }),
    ).toThrow(Refusal);
    expect(out).toBeLessThanOrEqual(70_000);
  });

  it('with the fields for large files are read all the same', () => {
    // The entry gets an extension with both sizes and the place; the end gets its large record and the locator of it.
    const at = entryAt(single);
    const entry = single.slice(at, single.length - 22);
    const nameLength = new DataView(entry.buffer).getUint16(28, true);
    const extension = new DataView(new ArrayBuffer(28));
    extension.setUint16(0, 1, true);
    extension.setUint16(2, 24, true);
    extension.setBigUint64(4, BigInt(code.length), true);
    extension.setBigUint64(12, BigInt(new DataView(entry.buffer).getUint32(20, true)), true);
    const list = new Uint8Array(46 + nameLength + 28);
    list.set(entry.subarray(0, 46 + nameLength));
    list.set(new Uint8Array(extension.buffer), 46 + nameLength);
    const view = new DataView(list.buffer);
    for (const field of [20, 24, 42]) view.setUint32(field, 0xffffffff, true);
    view.setUint16(30, 28, true);
    const end = new DataView(new ArrayBuffer(56 + 20 + 22));
    end.setUint32(0, 0x06064b50, true);
    end.setBigUint64(24, 1n, true);
    end.setBigUint64(32, 1n, true);
    end.setBigUint64(40, BigInt(list.length), true);
    end.setBigUint64(48, BigInt(at), true);
    end.setUint32(56, 0x07064b50, true);
    end.setBigUint64(64, BigInt(at + list.length), true);
    end.setUint32(76, 0x06054b50, true);
    for (const field of [84, 86]) end.setUint16(field, 0xffff, true);
    for (const field of [88, 92]) end.setUint32(field, 0xffffffff, true);
    const large = new Uint8Array(at + list.length + end.byteLength);
    large.set(single.subarray(0, at));
    large.set(list, at);
    large.set(new Uint8Array(end.buffer), at + list.length);
    expect(readAll(memorySource('a.zip', large))).toEqual(code);
    large[at + list.length + 56] = 0;
    expect(refusal(memorySource('a.zip', large))).toContain('a.zip is a zip that is damaged');
  });

  it('that are cut off or scrambled anywhere are refused or read right, never read wrong', () => {
    // From the four bytes on that make it a zip.
    for (let cut = 4; cut < single.length; cut++) {
      const said = refusal(memorySource('a.zip', single.subarray(0, cut)));
      expect(said, `cut at ${cut}`).toContain('a.zip');
    }
    for (let at = 4; at < single.length; at++) {
      const copy = single.slice();
      copy[at] = copy[at]! ^ 0x55;
      const source = memorySource('a.zip', copy);
      const said = refusal(source);
      if (said === 'read') expect(readAll(source), `byte ${at}`).toEqual(code);
      else expect(said, `byte ${at}`).toContain('a.zip');
    }
  });
});
