/** Ties: a small tagged bracket that joins the cells one of which holds the digit. */

import { figures, svg, through } from "#app/board/svg.js";

/** Where the tag of each lane stands between the first two cells, so that tags of neighbours do not meet. */
const ALONG = [0.5, 0.2, 0.8];

/** @param {Element} group @param {import("#app/board/svg.js").Geometry} at */
export function ties(group, at) {
  /** @param {import("#app/board/types.js").State} state @param {import("#app/board/types.js").State | null} before */
  return (state, before) => {
    if (before && before.claims.ties === state.claims.ties) return;
    group.replaceChildren();
    state.claims.ties.forEach((tie, place) => {
      const lane = state.claims.ties.slice(0, place).filter((other) => other.cells.some((cell) => tie.cells.includes(cell)));
      bracket(group, tie, lane.length % 3, at);
    });
  };
}

/**
 * @param {Element} group @param {import("#app/board/types.js").Tie} tie
 * @param {number} lane 0 at the edge, further ones inwards @param {import("#app/board/svg.js").Geometry} at
 */
function bracket(group, { cells, digit }, lane, at) {
  const { unit, size } = at;
  const first = cells[0] ?? 0;
  const upright = cells.every((cell) => cell % size === first % size);
  const off = (0.12 + 0.15 * lane) * unit;
  const tick = 0.07 * unit;
  const anchors = cells.map((cell) => {
    const [x, y] = at.corner(cell);
    return /** @type {[number, number]} */ (upright ? [x + off, y + unit / 2] : [x + unit / 2, y + off]);
  });
  const node = svg(group, "g", { class: "claim-tie" });
  const ticks = anchors.map(([x, y]) => (upright ? `M${x} ${y}h${tick}` : `M${x} ${y}v${tick}`)).join("");
  svg(node, "path", { d: through(anchors) + ticks, class: "casing" });
  svg(node, "path", { d: through(anchors) + ticks, class: "bracket" });
  const [ax, ay] = anchors[0] ?? [0, 0];
  const [bx, by] = anchors[1] ?? [ax, ay];
  const height = 0.15 * unit;
  const wide = (digit < 10 ? 0.12 : 0.17) * unit;
  const high = 0.125 * unit;
  const way = ALONG[lane] ?? 0.5;
  const [x, y] = [ax + way * (bx - ax), ay + way * (by - ay)];
  svg(node, "rect", { x: x - wide, y: y - high, width: 2 * wide, height: 2 * high, rx: 0.05 * unit, class: "tag" });
  figures(node, x, y, digit, height, "tag-digit");
}
