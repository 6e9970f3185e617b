/**
 * Explanation marks, in the form that pictures of steps have: *look* is a wash within a thin line, *because*
 * is hatched within long dashes, *result* is a strong frame; letters tell groups of one role apart.
 */

import { figures, outline, svg, through } from "#app/board/svg.js";

const INSET = { look: 0.04, because: 0.04, result: 0.055 };
const LINES = 7;
const TAB = 0.25;

/** @param {Element} under @param {Element} over @param {import("#app/board/svg.js").Geometry} at */
export function marks(under, over, at) {
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.marks === state.marks) return;
    under.replaceChildren();
    over.replaceChildren();
    /** @type {Map<number, number>} */
    const tabs = new Map();
    for (const mark of state.marks) {
      if (!mark.cells.length) continue;
      if (mark.role === "look") svg(under, "path", { d: outline(mark.cells, 0, at), class: "mark-wash", "fill-rule": "evenodd" });
      if (mark.role === "because") svg(under, "path", { d: mark.cells.map((cell) => hatch(cell, at)).join(""), class: "mark-hatch" });
      const border = outline(mark.cells, INSET[mark.role], at);
      if (mark.role !== "look") svg(over, "path", { d: border, class: `mark-casing ${mark.role}` });
      svg(over, "path", { d: border, class: `mark-border ${mark.role}` });
      const many = new Set(state.marks.filter((other) => other.role === mark.role).map((other) => other.group));
      if (many.size > 1) tab(over, mark, tabs, at);
    }
  };
}

/** @param {number} cell @param {import("#app/board/svg.js").Geometry} at */
function hatch(cell, { corner, unit }) {
  const [x, y] = corner(cell);
  let data = "";
  for (let k = 1; k < 2 * LINES; k += 1) {
    const way = k / LINES;
    const [near, far] = [Math.min(way, 1) * unit, Math.max(way - 1, 0) * unit];
    data += through([[x + unit - near, y + far], [x + unit - far, y + near]]);
  }
  return data;
}

/**
 * @param {Element} over @param {import("#app/board/types.js").Mark} mark @param {Map<number, number>} tabs
 * @param {import("#app/board/svg.js").Geometry} at
 */
function tab(over, mark, tabs, { corner, unit, size }) {
  const row = Math.min(...mark.cells.map((cell) => Math.floor(cell / size)));
  const cell = Math.max(...mark.cells.filter((other) => Math.floor(other / size) === row));
  const taken = tabs.get(cell) ?? 0;
  tabs.set(cell, taken + 1);
  const side = TAB * unit;
  const [x, y] = corner(cell);
  const right = x + 0.97 * unit - taken * (side + 0.03 * unit);
  const top = y + 0.03 * unit;
  svg(over, "rect", { x: right - side, y: top, width: side, height: side, rx: 0.05 * unit, class: `mark-tab ${mark.role}` });
  figures(over, right - side / 2, top + side / 2, mark.group.slice(0, 2), 0.16 * unit, "mark-letter");
}
