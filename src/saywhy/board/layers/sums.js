/** Sum notes: a dotted line around the cells and the total on a slip in the upper corner of the last one. */

import { figures, outline, svg } from "#app/board/svg.js";

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function sums(group, at) {
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.claims.sums === state.claims.sums) return;
    group.replaceChildren();
    for (const { cells, total } of state.claims.sums) {
      const node = svg(group, "g", { class: "claim-sum" });
      svg(node, "path", { d: outline(cells, 0.1, at), class: "round" });
      const [x, y] = at.corner(cells.at(-1) ?? 0);
      const text = `=${total}`;
      const wide = (0.1 + 0.115 * text.length) * at.unit;
      const high = 0.25 * at.unit;
      const right = x + at.unit * 0.97;
      const middle = y + 0.2 * at.unit;
      svg(node, "rect", { x: right - wide, y: middle - high / 2, width: wide, height: high, class: "slip" });
      figures(node, right - wide / 2, middle, text, 0.155 * at.unit, "slip-total");
    }
  };
}
