/** The state of a board: made once, then changed by `transitions` only. */

import { noClaims } from "#app/board/claims.js";

/** @typedef {import("#app/board/types.js").State} State */

/**
 * @param {{size: number, box?: readonly [number, number] | null, givens: readonly number[], halos?: readonly number[],
 *   locked?: boolean}} puzzle
 * @returns {State}
 */
export function initial({ size, box = null, givens, halos = [], locked = false }) {
  return {
    size,
    step: box ?? [Math.ceil(size / 3), Math.ceil(size / 3)],
    givens,
    halos,
    claims: noClaims(size),
    past: [],
    future: [],
    selection: [],
    focus: 0,
    anchor: 0,
    pen: "digit",
    otherPen: "options",
    entry: "",
    marks: [],
    breaks: [],
    locked,
  };
}
