/** What is said of a cell, of a change and of a pen: for screen readers and for the status line. */

import { TRAITS, cellOf, digitsOf } from "#app/board/cells.js";
import { word } from "#app/board/words.js";

/** @typedef {import("#app/board/types.js").State} State */
/** @typedef {import("#app/board/types.js").Deed} Deed */

/** @type {Record<import("#app/board/types.js").Pen, string>} */
export const PEN_NAMES = { digit: word("pen_digit"), options: word("pen_options"), tie: word("pen_tie"), sum: word("pen_sum"), tint: word("pen_tint") };

/** @param {number} cell @param {number} size */
export const place = (cell, size) => word("place", { row: Math.floor(cell / size) + 1, column: (cell % size) + 1 });

/** Join words as people do. @param {readonly (string | number)[]} words */
export const list = (words) =>
  words.length < 2 ? words.join("") : word("and", { first: words.slice(0, -1).join(", "), last: words.at(-1) ?? "" });

/** Say everything about a cell that is seen in it. @param {State} state @param {number} cell */
export function describe(state, cell) {
  const { claims, givens, size } = state;
  const said = [place(cell, size)];
  if (givens[cell]) said.push(word("given", { digit: givens[cell] ?? 0 }));
  else if (claims.digits[cell]) said.push(`${claims.digits[cell]}`);
  else said.push(word("empty"));
  if (!givens[cell] && !claims.digits[cell] && claims.options[cell]) {
    said.push(word("options", { digits: list(digitsOf(claims.options[cell] ?? 0)) }));
  }
  for (const [k, name] of TRAITS.entries()) if (((claims.traits[cell] ?? 0) >> k) & 1) said.push(word(name));
  for (const tie of claims.ties) if (tie.cells.includes(cell)) said.push(word("tie_of", { digit: tie.digit }));
  for (const note of claims.sums) if (note.cells.includes(cell)) said.push(word("sum_of", { total: note.total }));
  if (claims.tints[cell]) said.push(word("tint_of", { tint: claims.tints[cell] ?? 0 }));
  for (const mark of state.marks) if (mark.cells.includes(cell)) said.push(word(mark.role, { group: mark.group }));
  if (state.breaks.includes(cell)) said.push(word("breaks"));
  return said.join(", ");
}

/** Say what deeds did, in one sentence. @param {readonly Deed[]} deeds @param {number} size */
export function told(deeds, size) {
  const first = deeds[0];
  if (!first) return "";
  const cells = deeds.flatMap((deed) => deed.cells ?? (deed.cell ? [deed.cell] : []));
  /** @param {string} what */
  const where = (what) => {
    if (!cells.length) return what;
    return cells.length === 1 ? word("at_place", { what, place: place(cellOf(cells[0] ?? "", size), size) }) : word("at_cells", { what, count: cells.length });
  };
  switch (first.do) {
    case "place":
      return where(`${first.digit}`);
    case "erase":
      return first.cells ? word("did_tie_gone", { digit: first.digit ?? "" }) : where(word("did_erase"));
    case "options":
      return where(deeds.length > 1 || !first.digits?.length ? word("did_options") : word("did_options_to", { digits: list(first.digits) }));
    case "tie":
      return where(word("did_tie", { digit: first.digit ?? "" }));
    case "sum":
      return first.total === null ? word("did_sum_gone") : where(word("did_sum", { total: first.total ?? "" }));
    case "trait":
      return where(first.trait ? word(first.trait) : word("did_trait_gone"));
    case "tint":
      return where(first.tint ? word("did_tint", { tint: first.tint }) : word("did_tint_gone"));
    case "undo":
      return word("did_undo");
    case "redo":
      return word("did_redo");
    default:
      return "";
  }
}
