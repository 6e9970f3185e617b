/** Buttons beside the grid, for clues that look in from there. */

import { nameOf } from "#app/board/cells.js";
import { el } from "#app/dom.js";
import { places } from "#app/draw/gestures.js";

/**
 * @param {HTMLElement} host laid over the board; emptied first
 * @param {DOMRect} board where the board is on the page
 * @param {import("#app/board/svg.js").Geometry} at
 * @param {import("#app/draw/tools.js").Rule} rule
 * @param {import("#app/draw/draft.js").Draft} draft
 * @param {(cells: number[]) => void} press
 */
export function showPlaces(host, board, at, rule, draft, press) {
  const outer = host.getBoundingClientRect();
  const scale = board.width / at.width;
  const taken = new Set(draft.clues.map((clue) => clue.cells?.join()));
  host.replaceChildren(
    ...places(draft.size, rule.form === "diagonal").map((place) => {
      const names = place.cells.map((cell) => nameOf(cell, draft.size)).join();
      const made = el("button", { type: "button", "aria-label": `${rule.title}, ${place.label}`, class: taken.has(names) ? "taken" : "" }, "+");
      made.style.left = `${board.left - outer.left + (place.x * at.unit - at.left) * scale}px`;
      made.style.top = `${board.top - outer.top + (place.y * at.unit - at.top) * scale}px`;
      made.addEventListener("click", () => press(place.cells));
      return made;
    }),
  );
}
