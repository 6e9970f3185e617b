/** Figures to press under the board: what keys write there, for a finger or a mouse. */

import { el } from "#app/dom.js";

/**
 * @param {HTMLElement} host
 * @param {(digit: number) => void} write writes a digit; 0 erases
 * @returns {(size: number, on: boolean) => void} shows as many figures as the grid has, or none
 */
export function figureRow(host, write) {
  const row = el("div", { class: "figures-row" });
  host.append(row);
  const erase = el("button", { type: "button" }, "Erase");
  erase.addEventListener("click", () => write(0));
  // The board keeps the keyboard while figures are pressed.
  host.addEventListener("pointerdown", (event) => event.preventDefault());
  return (size, on) => {
    host.hidden = !on;
    if (row.childElementCount === size + 1) return;
    const figures = Array.from({ length: size }, (_, k) => el("button", { type: "button" }, String(k + 1)));
    figures.forEach((made, k) => made.addEventListener("click", () => write(k + 1)));
    row.replaceChildren(...figures, erase);
  };
}
