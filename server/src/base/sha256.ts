/**
 * SHA-256 (FIPS 180-4) of a text's UTF-8 bytes, as 64 hexadecimal digits. The core knows no platform, so it brings its own:
 * for short texts, where a digest must be the same everywhere and no stranger may find two texts with the same one.
 */
export function sha256(text: string): string {
  const words = paddedWords(utf8(text));
  const state = [...INITIAL];
  const schedule = new Int32Array(64);
  for (let block = 0; block < words.length; block += 16) {
    for (let t = 0; t < 64; t++) {
      if (t < 16) schedule[t] = words[block + t]!;
      else {
        const [early, late] = [schedule[t - 15]!, schedule[t - 2]!];
        const sigma0 = rotated(early, 7) ^ rotated(early, 18) ^ (early >>> 3);
        const sigma1 = rotated(late, 17) ^ rotated(late, 19) ^ (late >>> 10);
        schedule[t] = schedule[t - 16]! + sigma0 + schedule[t - 7]! + sigma1;
      }
    }
    let [a, b, c, d, e, f, g, h] = state as Eight;
    for (let t = 0; t < 64; t++) {
      const choice = (e & f) ^ (~e & g);
      const sum1 = rotated(e, 6) ^ rotated(e, 11) ^ rotated(e, 25);
      const first = (h + sum1 + choice + ROUND[t]! + schedule[t]!) | 0;
      const majority = (a & b) ^ (a & c) ^ (b & c);
      const sum0 = rotated(a, 2) ^ rotated(a, 13) ^ rotated(a, 22);
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) | 0, c, b, a, (first + sum0 + majority) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((word, i) => (state[i] = (state[i]! + word) | 0));
  }
  return state.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}

type Eight = [number, number, number, number, number, number, number, number];

const PRIMES = firstPrimes(64);
/** The first 32 bits of the fractional parts of the primes' square roots and cube roots. */
const INITIAL: readonly number[] = PRIMES.slice(0, 8).map((prime) => fraction(Math.sqrt(prime)));
const ROUND: readonly number[] = PRIMES.map((prime) => fraction(Math.cbrt(prime)));

function fraction(root: number): number {
  return ((root - Math.floor(root)) * 2 ** 32) | 0;
}

function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  return primes;
}

function rotated(word: number, by: number): number {
  return (word >>> by) | (word << (32 - by));
}

/** The bytes, a bit of 1, zeros, and the length in bits, as whole blocks of sixteen big-endian words. */
function paddedWords(bytes: readonly number[]): Int32Array {
  const words = new Int32Array((((bytes.length + 8) >> 6) + 1) * 16);
  bytes.forEach((byte, i) => (words[i >> 2]! |= byte << (24 - (i & 3) * 8)));
  words[bytes.length >> 2]! |= 0x80 << (24 - (bytes.length & 3) * 8);
  words[words.length - 2] = Math.floor(bytes.length / 2 ** 29);
  words[words.length - 1] = bytes.length << 3;
  return words;
}

/** Half of a character that stands alone becomes U+FFFD, as everywhere else. */
function utf8(text: string): number[] {
  const bytes: number[] = [];
  for (const character of text) {
    let code = character.codePointAt(0)!;
    if (code >= 0xd800 && code <= 0xdfff) code = 0xfffd;
    if (code < 0x80) bytes.push(code);
    else if (code < 0x800) bytes.push(0xc0 | (code >> 6), 0x80 | (code & 63));
    else if (code < 0x10000) bytes.push(0xe0 | (code >> 12), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    else {
      bytes.push(0xf0 | (code >> 18), 0x80 | ((code >> 12) & 63), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    }
  }
  return bytes;
}
