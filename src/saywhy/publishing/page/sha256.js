/**
 * SHA-256, since a page opened from disk or over plain HTTP may lack the browser's own.
 *
 * Source: FIPS 180-4; the test compares it with Python's hashlib.
 */

/** Give the first 32 bits of the fractional part. @param {number} x */
const fraction = (x) => ((x - Math.floor(x)) * 2 ** 32) | 0;

/** @type {number[]} */
const PRIMES = [];
for (let n = 2; PRIMES.length < 64; n += 1) if (PRIMES.every((p) => n % p)) PRIMES.push(n);
const K = Int32Array.from(PRIMES, (p) => fraction(Math.cbrt(p)));
const START = PRIMES.slice(0, 8).map((p) => fraction(Math.sqrt(p)));

/** @param {number} x @param {number} by */
const turn = (x, by) => (x >>> by) | (x << (32 - by));

/** @param {Uint8Array} data @returns {Uint8Array} 32 bytes */
export function sha256(data) {
  const whole = new Uint8Array(((data.length + 72) >> 6) << 6);
  whole.set(data);
  whole[data.length] = 0x80;
  const view = new DataView(whole.buffer);
  view.setUint32(whole.length - 4, data.length * 8);
  const state = Int32Array.from(START);
  const w = new Int32Array(64);
  for (let at = 0; at < whole.length; at += 64) {
    for (let k = 0; k < 64; k += 1) {
      if (k < 16) {
        w[k] = view.getInt32(at + 4 * k);
        continue;
      }
      const [a, b] = [w[k - 15] ?? 0, w[k - 2] ?? 0];
      const low = turn(a, 7) ^ turn(a, 18) ^ (a >>> 3);
      const high = turn(b, 17) ^ turn(b, 19) ^ (b >>> 10);
      w[k] = (w[k - 16] ?? 0) + low + (w[k - 7] ?? 0) + high;
    }
    let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = state;
    for (let k = 0; k < 64; k += 1) {
      const one = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + (K[k] ?? 0) + (w[k] ?? 0)) | 0;
      const two = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((part, k) => (state[k] = ((state[k] ?? 0) + part) | 0));
  }
  const out = new DataView(new ArrayBuffer(32));
  state.forEach((part, k) => out.setInt32(4 * k, part));
  return new Uint8Array(out.buffer);
}

/** @param {string} text */
export const bytes = (text) => new TextEncoder().encode(text);

/** @param {Uint8Array} data */
export const hex = (data) => Array.from(data, (byte) => byte.toString(16).padStart(2, "0")).join("");
