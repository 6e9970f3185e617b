/** Make the board of a page from what the server gave it. */

import { createBoard } from "#app/board/api.js";
import { find, pictureIn, svgOf } from "#app/dom.js";

/**
 * @param {any} picture as the desk tells it, with or without its svg as text
 * @param {Element | null} [shown] the svg that stands in the page
 * @returns {import("#app/board/api.js").Printed}
 */
export const printedOf = (picture, shown = null) => ({
  size: picture.size,
  box: picture.box,
  givens: picture.givens,
  halos: picture.halos,
  unit: picture.unit,
  margins: picture.margins,
  picture: picture.svg ? svgOf(picture.svg) : shown,
});

/** @param {any} picture @param {Omit<import("#app/board/api.js").Wiring, "label">} wiring @param {string} [name] */
export function boardOf(picture, wiring, name = "board") {
  const host = find(name, HTMLElement);
  return createBoard(host, printedOf(picture, pictureIn(host)), { label: host.dataset.label ?? "Board", ...wiring });
}
