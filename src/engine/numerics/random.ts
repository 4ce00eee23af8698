/**
 * Seeded columns of numbers: no state, no order, the same on every machine and for every number of workers.
 */

/** 32-bit hash of a text (FNV-1a, then the finaliser of MurmurHash3). Not for secrets. */
export function hashText(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return mix(hash);
}

function mix(value: number): number {
  let h = value >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

function reverseBits(value: number): number {
  let v = value >>> 0;
  v = ((v >>> 1) & 0x55555555) | ((v & 0x55555555) << 1);
  v = ((v >>> 2) & 0x33333333) | ((v & 0x33333333) << 2);
  v = ((v >>> 4) & 0x0f0f0f0f) | ((v & 0x0f0f0f0f) << 4);
  v = ((v >>> 8) & 0x00ff00ff) | ((v & 0x00ff00ff) << 8);
  return ((v >>> 16) | (v << 16)) >>> 0;
}

/**
 * Nested uniform scramble of a 32-bit number (Owen 1997): every bit is flipped or not by a hash of the bits above
 * it, so that intervals of length 2^-k stay intervals. Each level has its own hash: 32 hashes a number, exact, and
 * cheap beside any physics.
 */
export function owenScramble(value: number, seed: number): number {
  let out = 0;
  let above = 1; // a leading one keeps prefixes of different length apart
  for (let bit = 31; bit >= 0; bit--) {
    const old = (value >>> bit) & 1;
    const flip = mix(Math.imul(above, 0x9e3779b1) ^ seed ^ Math.imul(32 - bit, 0x7feb352d)) & 1;
    out = (out | ((old ^ flip) << bit)) >>> 0;
    above = ((above << 1) | old) >>> 0;
  }
  return out;
}

/**
 * Point number `index` of a base-2 van der Corput sequence, Owen-scrambled and shuffled, in (0, 1).
 *
 * The first 2^k points put exactly one into each of 2^k equal intervals: a stratified sample. The shuffle is a
 * nested scramble of the index, so that this holds for the first 2^k points in the new order too, while two columns
 * with different keys are paired as at random. After Owen (1997, SIAM J. Numer. Anal. 34, 1884, from memory) and,
 * for the shuffle, Burley (2020, J. Computer Graphics Techniques 9(4), from memory).
 */
export function stratifiedPoint(index: number, key: number): number {
  const shuffled = owenScramble(index, mix(key ^ 0x68bc21eb));
  const scrambled = owenScramble(reverseBits(shuffled), mix(key ^ 0x02e5be93));
  return (scrambled + 0.5) / 4294967296;
}

/** A stream of uniforms in (0, 1) for simulations that need many per member: counter-based, one key a stream. */
export function uniformStream(key: number): () => number {
  let counter = 0;
  return () => {
    counter = (counter + 0x9e3779b9) >>> 0;
    return (mix(mix(counter ^ key) + key) + 0.5) / 4294967296;
  };
}
