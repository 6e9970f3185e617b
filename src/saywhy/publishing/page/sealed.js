/**
 * What the page holds back: texts under a key that the page itself can make, so that nobody reads them in
 * passing in the page's source. It keeps no secret from someone who runs the page's own code.
 */

import { bytes, hex, sha256 } from "#app/page/sha256.js";

/** Rounds of hashing of a finished grid. */
export const ROUNDS = 2000;

/** Read what is sealed. @param {string} sealed base64 @param {string} key @returns {Promise<any>} */
export async function unseal(sealed, key) {
  const data = Uint8Array.from(atob(sealed), (letter) => letter.charCodeAt(0));
  for (let at = 0; at < data.length; at += 32) {
    const stream = sha256(bytes(`${key}/${at / 32}`));
    for (let k = at; k < Math.min(at + 32, data.length); k += 1) data[k] = (data[k] ?? 0) ^ (stream[k - at] ?? 0);
  }
  const whole = new Blob([data]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Response(whole).json();
}

/** Give the salted hash of a filled grid. @param {readonly number[]} digits @param {string} salt */
export function gridHash(digits, salt) {
  /** @type {Uint8Array} */
  let data = bytes(`${salt}/${digits.join(",")}`);
  for (let k = 0; k < ROUNDS; k += 1) data = sha256(data);
  return hex(data);
}
