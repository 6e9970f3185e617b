/** Tints: six surfaces, each with a hatch of its own, so that none is told by its colour alone. */

import { TINTS } from "#app/board/cells.js";
import { svg } from "#app/board/svg.js";

/** Strokes of each hatch in a tile of 16 units; the fifth is dots. */
const HATCHES = [
  "M-2 18L18 -2M-2 2L2 -2M14 18L18 14",
  "M-2 -2L18 18M14 -2L18 2M-2 14L2 18",
  "M0 4H16M0 12H16",
  "M4 0V16M12 0V16",
  "",
  "M0 8H16M8 0V16",
];

let boards = 0;

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function tints(group, at) {
  boards += 1;
  const prefix = `tint-${boards}-`;
  const defs = svg(group, "defs");
  const tile = at.unit / 4;
  for (let number = 1; number <= TINTS; number += 1) {
    const pattern = svg(defs, "pattern", { id: prefix + number, width: 16, height: 16, patternUnits: "userSpaceOnUse", patternTransform: `scale(${tile / 16})` });
    svg(pattern, "rect", { width: 16, height: 16, class: `tint-ground tint-${number}` });
    const hatch = HATCHES[number - 1];
    if (hatch) svg(pattern, "path", { d: hatch, class: `tint-hatch tint-${number}` });
    else for (const [cx, cy] of [[4, 4], [12, 12]]) svg(pattern, "circle", { cx: cx ?? 0, cy: cy ?? 0, r: 1.8, class: `tint-dots tint-${number}` });
  }
  /** @type {Map<number, {number: number, node: Element}>} */
  const drawn = new Map();
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.claims.tints === state.claims.tints) return;
    state.claims.tints.forEach((number, cell) => {
      const old = drawn.get(cell);
      if ((old?.number ?? 0) === number) return;
      old?.node.remove();
      drawn.delete(cell);
      if (!number) return;
      const [x, y] = at.corner(cell);
      const node = svg(group, "rect", { x, y, width: at.unit, height: at.unit, fill: `url(#${prefix}${number})` });
      drawn.set(cell, { number, node });
    });
  };
}
