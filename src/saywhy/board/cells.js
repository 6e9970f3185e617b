/** Cells: names, places and sets as masks. No rule of any puzzle. */

/** Six tints, four traits. */
export const TINTS = 6;
/** @type {readonly import("#app/board/types.js").Trait[]} */
export const TRAITS = ["low", "high", "odd", "even"];

/** @param {number} cell @param {number} size */
export const nameOf = (cell, size) => `r${Math.floor(cell / size) + 1}c${(cell % size) + 1}`;

/**
 * Give the cell of a name, -1 if it is none of this grid.
 * @param {string} name @param {number} size
 */
export function cellOf(name, size) {
  const found = /^r(\d+)c(\d+)$/.exec(name);
  if (!found) return -1;
  const [row, column] = [Number(found[1]) - 1, Number(found[2]) - 1];
  return row >= 0 && row < size && column >= 0 && column < size ? row * size + column : -1;
}

/** @param {readonly number[]} digits */
export const maskOf = (digits) => digits.reduce((mask, digit) => mask | (1 << (digit - 1)), 0);

/** Give the digits of a mask, ascending. @param {number} mask */
export function digitsOf(mask) {
  const digits = [];
  for (let digit = 1; mask >> (digit - 1); digit += 1) if ((mask >> (digit - 1)) & 1) digits.push(digit);
  return digits;
}

/** @param {readonly number[]} cells */
export const sorted = (cells) => [...cells].sort((a, b) => a - b);

/** Say whether two lists hold the same cells. @param {readonly number[]} a @param {readonly number[]} b */
export const sameCells = (a, b) => a.length === b.length && sorted(a).join() === sorted(b).join();

/**
 * Give the cells on the straight way between two cells, both included; the last alone if there is none.
 * Quick strokes of a pointer skip cells, and this fills them in.
 * @param {number} from @param {number} to @param {number} size
 */
export function between(from, to, size) {
  const down = Math.floor(to / size) - Math.floor(from / size);
  const right = (to % size) - (from % size);
  const steps = Math.max(Math.abs(down), Math.abs(right));
  const cells = [];
  for (let k = 1; k <= steps; k += 1) {
    cells.push(from + Math.round((down * k) / steps) * size + Math.round((right * k) / steps));
  }
  return [from, ...cells];
}
