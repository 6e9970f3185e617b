/** Buttons beside the grid, for clues that look in from there: one stop of the Tab key, arrows go on to the others. */

import { nameOf } from "#app/board/cells.js";
import { el } from "#app/dom.js";
import { onward, places } from "#app/draw/gestures.js";

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
  const shown = places(draft.size, rule.form === "diagonal");
  const held = host.contains(document.activeElement);
  const prints = [...document.querySelectorAll(".layer-printed .clue.outside")].map((clue) => clue.getBoundingClientRect());
  // The place that had the keyboard last has it again.
  let stop = Math.max(0, shown.findIndex((place) => place.label === host.dataset.stop));
  const buttons = shown.map((place, number) => {
    const names = place.cells.map((cell) => nameOf(cell, draft.size)).join();
    const made = el("button", { type: "button", tabindex: "-1", "aria-label": `${rule.title}, ${place.label}`, class: taken.has(names) ? "taken" : "" }, `${place.sign}\ufe0e`);
    made.style.left = `${board.left - outer.left + (place.x * at.unit - at.left) * scale}px`;
    made.style.top = `${board.top - outer.top + (place.y * at.unit - at.top) * scale}px`;
    made.addEventListener("click", () => press(place.cells));
    made.addEventListener("focus", () => move(number));
    made.addEventListener("keydown", (event) => {
      const next = onward(shown, number, event.key);
      if (next < 0) return;
      event.preventDefault();
      buttons[next]?.focus();
    });
    return made;
  });
  /** @param {number} next */
  const move = (next) => {
    buttons[stop]?.setAttribute("tabindex", "-1");
    stop = next;
    buttons[stop]?.setAttribute("tabindex", "0");
    host.dataset.stop = shown[stop]?.label ?? "";
  };
  move(stop);
  host.replaceChildren(...buttons);
  // What is printed there already stays in sight; such a place shows itself to the pointer and the keyboard alone.
  for (const made of buttons) made.classList.toggle("shared", prints.some((print) => meets(made.getBoundingClientRect(), print)));
  if (held) buttons[stop]?.focus();
}

/** Say whether two boxes of the page lie over one another. @param {DOMRect} a @param {DOMRect} b */
const meets = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
