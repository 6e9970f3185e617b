/** What is not yet printed, drawn over the board: a line in the hand, clues that are not finished, region numbers. */

import { cellOf } from "#app/board/cells.js";
import { figures, outline, svg, through } from "#app/board/svg.js";
import { usual } from "#app/draw/draft.js";

/** @typedef {import("#app/draw/draft.js").Clue} Clue */

/**
 * @param {Element} overlay emptied first
 * @param {import("#app/board/svg.js").Geometry} at
 * @param {{draft: import("#app/draw/draft.js").Draft, thread: readonly number[], clues: readonly (Clue | undefined)[],
 *   groups: readonly (readonly string[])[], regions: boolean}} what `thread`: cells of a line in the hand; `clues`:
 *   those to outline; `groups`: groups so far; `regions`: whether to number the regions
 */
export function sketch(overlay, at, { draft, thread, clues, groups, regions }) {
  overlay.replaceChildren();
  const round = (/** @type {readonly string[]} */ names) => {
    const cells = names.map((name) => cellOf(name, draft.size)).filter((cell) => cell >= 0);
    if (cells.length) svg(overlay, "path", { d: outline(cells, 0.08, at), class: "draft-cells" });
  };
  if (thread.length > 1) svg(overlay, "path", { d: through(thread.map(at.centre)), class: "draft-thread" });
  for (const clue of clues) for (const names of clue?.groups?.length ? clue.groups : [clue?.cells ?? []]) round(names);
  for (const names of groups) round(names);
  if (!regions) return;
  (draft.regions ?? usual(draft.size)).forEach((region, cell) => {
    const [x, y] = at.corner(cell);
    figures(overlay, x + 0.17 * at.unit, y + 0.2 * at.unit, region + 1, 0.14 * at.unit, "tag-digit");
  });
}
