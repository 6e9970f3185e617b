/** What is said of a cell, of a change and of a pen: for screen readers and for the status line. */

import { TRAITS, cellOf, digitsOf } from "#app/board/cells.js";

/** @typedef {import("#app/board/types.js").State} State */
/** @typedef {import("#app/board/types.js").Deed} Deed */

/** @type {Record<import("#app/board/types.js").Pen, string>} */
export const PEN_NAMES = { digit: "Digit", options: "Options", tie: "Tie", sum: "Sum", tint: "Tint" };

/** @param {number} cell @param {number} size */
export const place = (cell, size) => `row ${Math.floor(cell / size) + 1}, column ${(cell % size) + 1}`;

/** Join words as people do. @param {readonly (string | number)[]} words @param {string} last */
export const list = (words, last = "and") =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${last} ${words.at(-1)}`;

/** Say everything about a cell that is seen in it. @param {State} state @param {number} cell */
export function describe(state, cell) {
  const { claims, givens, size } = state;
  const said = [place(cell, size)];
  if (givens[cell]) said.push(`given ${givens[cell]}`);
  else if (claims.digits[cell]) said.push(`${claims.digits[cell]}`);
  else said.push("empty");
  if (!givens[cell] && !claims.digits[cell] && claims.options[cell]) {
    said.push(`options ${list(digitsOf(claims.options[cell] ?? 0))}`);
  }
  for (const [k, name] of TRAITS.entries()) if (((claims.traits[cell] ?? 0) >> k) & 1) said.push(name);
  for (const tie of claims.ties) if (tie.cells.includes(cell)) said.push(`tie of ${tie.digit}`);
  for (const note of claims.sums) if (note.cells.includes(cell)) said.push(`sum ${note.total}`);
  if (claims.tints[cell]) said.push(`tint ${claims.tints[cell]}`);
  for (const mark of state.marks) if (mark.cells.includes(cell)) said.push(`${ROLE_WORDS[mark.role]} ${mark.group}`);
  if (state.breaks.includes(cell)) said.push("breaks a rule");
  return said.join(", ");
}

const ROLE_WORDS = { look: "look here, group", because: "reason, group", result: "result, group" };

/** Say what deeds did, in one sentence. @param {readonly Deed[]} deeds @param {number} size */
export function told(deeds, size) {
  const first = deeds[0];
  if (!first) return "";
  const cells = deeds.flatMap((deed) => deed.cells ?? (deed.cell ? [deed.cell] : []));
  const where = cells.length === 1 ? ` in ${place(cellOf(cells[0] ?? "", size), size)}` : cells.length ? ` in ${cells.length} cells` : "";
  switch (first.do) {
    case "place":
      return `${first.digit}${where}`;
    case "erase":
      return first.cells ? `Tie of ${first.digit} taken away` : `Erased${where}`;
    case "options":
      return deeds.length > 1 || !first.digits?.length ? `Options changed${where}` : `Options ${list(first.digits)}${where}`;
    case "tie":
      return `Tie of ${first.digit}${where}`;
    case "sum":
      return first.total === null ? `Sum taken away` : `Sum ${first.total}${where}`;
    case "trait":
      return first.trait ? `${first.trait}${where}` : `Traits taken away${where}`;
    case "tint":
      return first.tint ? `Tint ${first.tint}${where}` : `Tint taken away${where}`;
    case "undo":
      return "Undone";
    case "redo":
      return "Done again";
    default:
      return "";
  }
}
