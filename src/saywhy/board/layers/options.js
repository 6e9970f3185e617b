/** The digits that a cell may still be, along its lower edge, and its traits in the upper right corner. */

import { TRAITS, digitsOf } from "#app/board/cells.js";
import { figures, svg } from "#app/board/svg.js";
import { word } from "#app/board/words.js";

const HEIGHT = 0.15;
const LEADING = 1.38;

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function options(group, at) {
  /** @type {Map<number, {key: string, node: Element}>} */
  const drawn = new Map();
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    const { claims } = state;
    if (before && before.claims === claims && before.givens === state.givens) return;
    claims.options.forEach((mask, cell) => {
      const covered = claims.digits[cell] || state.givens[cell];
      const traits = state.givens[cell] ? 0 : (claims.traits[cell] ?? 0);
      const key = `${covered ? 0 : mask}/${traits}`;
      const old = drawn.get(cell);
      if ((old?.key ?? "0/0") === key) return;
      old?.node.remove();
      drawn.delete(cell);
      if (key === "0/0") return;
      const node = svg(group, "g");
      if (!covered) row(node, digitsOf(mask), ...at.corner(cell), at);
      words(node, traits, ...at.corner(cell), at.unit);
      drawn.set(cell, { key, node });
    });
  };
}

/**
 * Set the last row full; what is left over stands above it.
 * @param {Element} node @param {number[]} digits @param {number} x @param {number} y
 * @param {import("#app/board/svg.js").Geometry} at
 */
function row(node, digits, x, y, { unit, size }) {
  const across = size < 10 ? 5 : 4;
  const height = HEIGHT * unit * (size < 10 ? 1 : 0.86);
  for (let line = 0; line * across < digits.length; line += 1) {
    const held = digits.slice(Math.max(0, digits.length - across * (line + 1)), digits.length - across * line);
    const middle = y + 0.9 * unit - height / 2 - line * LEADING * height;
    const step = (0.84 * unit) / across;
    held.forEach((digit, k) => {
      figures(node, x + unit / 2 + (k - (held.length - 1) / 2) * step, middle, digit, height, "claim-option");
    });
  }
}

/** @param {Element} node @param {number} mask @param {number} x @param {number} y @param {number} unit */
function words(node, mask, x, y, unit) {
  TRAITS.filter((_, k) => (mask >> k) & 1).forEach((name, k) => {
    const made = svg(node, "text", {
      x: x + 0.94 * unit,
      y: y + (0.19 + 0.17 * k) * unit,
      "font-size": 0.19 * unit,
      "text-anchor": "end",
      class: "claim-trait",
    });
    made.textContent = word(name);
  });
}
