import { describe, expect, it } from 'vitest';
import { crc32 } from './crc32.ts';

const ascii = (text: string) => Uint8Array.from(text, (sign) => sign.charCodeAt(0));

describe('cyclic redundancy sum', () => {
  it('gives the check value of its polynomial for "123456789": CBF43926 (catalogue of parametrised CRCs, from memory)', () => {
    expect(crc32(ascii('123456789'))).toBe(0xcbf43926);
    expect(crc32(ascii(''))).toBe(0);
  });

  it('is the same whether the bytes come at once or in pieces', () => {
    const bytes = Uint8Array.from({ length: 1000 }, (_, k) => (k * 37 + (k >> 3)) & 255);
    for (const cut of [0, 1, 7, 8, 9, 500, 999, 1000])
      expect(crc32(bytes.subarray(cut), crc32(bytes.subarray(0, cut)))).toBe(crc32(bytes));
  });
});
