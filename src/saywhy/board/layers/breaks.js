/** Cells that break a rule, shown only when asked for: a proof-reader's wavy line under what stands there. */

import { svg } from "#app/board/svg.js";

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function breaks(group, { corner, unit }) {
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.breaks === state.breaks) return;
    group.replaceChildren();
    for (const cell of state.breaks) {
      const [x, y] = corner(cell);
      const wave = 0.12 * unit;
      const start = `M${x + 0.14 * unit} ${y + 0.84 * unit}`;
      const data = start + `q${wave / 2} ${-wave / 1.5} ${wave} 0t${wave} 0` + `t${wave} 0`.repeat(4);
      svg(group, "path", { d: data, class: "break-casing" });
      svg(group, "path", { d: data, class: "break-wave" });
    }
  };
}
