/** Digits that the solver wrote; givens are printed. */

import { nameOf } from "#app/board/cells.js";
import { figures } from "#app/board/svg.js";

const HEIGHT = 0.47;
const HEIGHT_TWO = 0.36;

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function digits(group, at) {
  /** @type {Map<number, Element>} */
  const drawn = new Map();
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.claims.digits === state.claims.digits && before.givens === state.givens) return;
    state.claims.digits.forEach((digit, cell) => {
      const shown = state.givens[cell] ? 0 : digit;
      const old = drawn.get(cell);
      if ((old?.textContent ?? "") === (shown ? String(shown) : "")) return;
      old?.remove();
      drawn.delete(cell);
      if (!shown) return;
      const height = (shown < 10 ? HEIGHT : HEIGHT_TWO) * at.unit;
      const made = figures(group, ...at.centre(cell), shown, height, "claim-digit");
      const halo = state.halos[cell];
      made.setAttribute("data-cell", nameOf(cell, at.size));
      if (halo) made.setAttribute("stroke-width", String(2 * halo * at.unit));
      drawn.set(cell, made);
    });
  };
}
