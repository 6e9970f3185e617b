/** The selection: a wash of ink and the crop marks of a printer's sheet around each cell. */

import { svg, through } from "#app/board/svg.js";

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function selection(group, at) {
  /** @type {Map<number, Element>} */
  const drawn = new Map();
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.selection === state.selection) return;
    const held = new Set(state.selection);
    for (const [cell, node] of drawn) {
      if (held.has(cell)) continue;
      node.remove();
      drawn.delete(cell);
    }
    for (const cell of held) {
      if (!drawn.has(cell)) drawn.set(cell, crop(group, cell, at));
    }
  };
}

/** @param {Element} group @param {number} cell @param {import("#app/board/svg.js").Geometry} at */
function crop(group, cell, { corner, unit }) {
  const [x, y] = corner(cell);
  const node = svg(group, "g");
  svg(node, "rect", { x, y, width: unit, height: unit, class: "selected-wash" });
  const inset = 0.09 * unit;
  const reach = 0.2 * unit;
  const marks = [0, 1].flatMap((right) =>
    [0, 1].map((down) => {
      const px = x + (right ? unit - inset : inset);
      const py = y + (down ? unit - inset : inset);
      return through([[px + (right ? -reach : reach), py], [px, py], [px, py + (down ? -reach : reach)]]);
    }),
  );
  svg(node, "path", { d: marks.join(""), class: "crop" });
  return node;
}
