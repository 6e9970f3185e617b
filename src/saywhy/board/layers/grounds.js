/** The ground that a digit's halo has: the paper's, or that of the wash or the tint in which its cell lies. */

import { cellOf } from "#app/board/cells.js";

/** @param {Element} print the printed picture @param {Element} written the layer of digits */
export function grounds(print, written) {
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.marks === state.marks && before.claims === state.claims && before.givens === state.givens) return;
    const washed = new Set(state.marks.filter((mark) => mark.role === "look").flatMap((mark) => mark.cells));
    for (const digit of [...print.querySelectorAll(".given"), ...written.children]) {
      const cell = cellOf(digit.getAttribute("data-cell") ?? "", state.size);
      const tint = state.claims.tints[cell];
      const ground = washed.has(cell) ? "look" : tint ? `tint-${tint}` : "";
      if (ground) digit.setAttribute("data-ground", ground);
      else digit.removeAttribute("data-ground");
    }
  };
}
