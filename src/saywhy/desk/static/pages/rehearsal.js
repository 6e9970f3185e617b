/** A path as a rehearsal goes through it: steps with their board, marks and sentences. Pure. */

import { cellOf, maskOf } from "#app/board/cells.js";

/**
 * A step as the desk tells it.
 * @typedef {object} Step
 * @property {number} n
 * @property {number} beat
 * @property {string} text
 * @property {string} written
 * @property {{group: string, cells: string[], role: import("#app/board/types.js").Role}[]} marks
 * @property {{cell: string, digit: number}[]} places
 * @property {{cell: string, digits: number[]}[]} removes
 * @property {{cell: string, digits: number[]}[]} facts
 */

/** Options of a fact are shown up to this many; more tell a viewer nothing. */
const MOST_OPTIONS = 4;

/**
 * What is shown at a step: digits placed up to it, options that it speaks of, and its marks.
 * @param {readonly Step[]} steps @param {number} at @param {number} size
 */
export function posed(steps, at, size) {
  const digits = new Array(size * size).fill(0);
  const left = new Array(size * size).fill((1 << size) - 1);
  for (const step of steps.slice(0, at + 1)) {
    for (const { cell, digit } of step.places) digits[cellOf(cell, size)] = digit;
    for (const { cell, digits: gone } of step.removes) left[cellOf(cell, size)] &= ~maskOf(gone);
  }
  const options = new Array(size * size).fill(0);
  const step = steps[at];
  for (const { cell, digits: known } of step?.facts ?? []) {
    const place = cellOf(cell, size);
    if (known.length > 1 && known.length <= MOST_OPTIONS) options[place] = maskOf(known) & left[place];
  }
  for (const { cell } of step?.removes ?? []) {
    const place = cellOf(cell, size);
    if (left[place] !== (1 << size) - 1) options[place] = left[place];
  }
  const marks = (step?.marks ?? []).map(({ group, cells, role }) => ({ group, role, cells: cells.map((name) => cellOf(name, size)) }));
  return { claims: { digits, options }, marks };
}

/** Give the first step of a beat, -1 if there is no such beat. @param {readonly Step[]} steps @param {number} beat */
export const beginOf = (steps, beat) => steps.findIndex((step) => step.beat === beat);

/**
 * Say why a cell holds what it holds.
 * @param {readonly Step[]} steps @param {number} cell @param {readonly number[]} givens @param {number} size
 * @returns {{words: string, at: number}} `at` is the step, -1 for none
 */
export function why(steps, cell, givens, size) {
  if (givens[cell]) return { words: `The ${givens[cell]} is given.`, at: -1 };
  const at = steps.findIndex((step) => step.places.some((place) => cellOf(place.cell, size) === cell));
  const step = steps[at];
  if (!step) return { words: "The path does not reach this cell.", at: -1 };
  return { words: step.written, at };
}
