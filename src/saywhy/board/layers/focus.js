/** The cell that keys go to: a double frame, seen while the board has the keyboard. */

import { svg } from "#app/board/svg.js";

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function focus(group, at) {
  const inset = 0.035 * at.unit;
  const side = at.unit - 2 * inset;
  const shapes = ["casing", "ring"].map((name) =>
    svg(group, "rect", { width: side, height: side, rx: 0.04 * at.unit, class: `focus-${name}` }),
  );
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.focus === state.focus) return;
    const [x, y] = at.corner(state.focus);
    for (const shape of shapes) {
      shape.setAttribute("x", String(x + inset));
      shape.setAttribute("y", String(y + inset));
    }
  };
}
