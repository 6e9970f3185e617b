/**
 * The tool in hand: turns what is done on the board into clues. Each form of rule has its own way of drawing,
 * by pointer and by keyboard.
 */

import { nameOf } from "#app/board/cells.js";
import { added, clueAt, given, painted, removed } from "#app/draw/draft.js";
import { beside, border, corner } from "#app/draw/gestures.js";

/** @typedef {import("#app/draw/draft.js").Draft} Draft */
/** @typedef {{name: string, title: string, form: string, takes: string[], needs: string[], fewest: number, how: string, meaning: string}} Rule */

/** Forms that are drawn by selecting cells and then saying so. */
const CHOSEN = new Set(["area", "cells", "groups"]);

/** Forms whose clue depends on the side from which its cells are named. */
const DIRECTED = new Set(["line", "outside", "diagonal"]);

/** Say whether a form waits for the add button. @param {string} form */
export const waits = (form) => CHOSEN.has(form);

/** Put a clue in, or take it out if it stands there. @param {Draft} draft @param {Rule} rule @param {readonly number[]} cells @returns {Draft} */
export function toggled(draft, rule, cells) {
  const names = cells.map((cell) => nameOf(cell, draft.size));
  const place = clueAt(draft, rule.name, names, DIRECTED.has(rule.form));
  if (place < 0) return added(draft, { rule: rule.name, cells: names });
  // A wedge between the same two cells the other way round turns it.
  const turned = rule.name === "less-than" && draft.clues[place]?.cells?.join() !== names.join();
  return turned ? added(removed(draft, place), { rule: rule.name, cells: names }) : removed(draft, place);
}

/**
 * A pointer went down in a cell.
 * @param {Draft} draft @param {Rule | null} rule @param {number} cell @param {readonly [number, number]} spot
 * @returns {Draft | null} null: the board is to select as usual
 */
export function pressed(draft, rule, cell, spot) {
  if (rule?.form === "cell") return toggled(draft, rule, [cell]);
  if (rule?.form === "pair") {
    const pair = border(cell, spot, draft.size);
    if (!pair) return null;
    // From which cell the border was pressed says which one is first: the point of a wedge.
    return toggled(draft, rule, pair[0] === cell ? pair : [pair[1], pair[0]]);
  }
  if (rule?.form === "corner") {
    const four = corner(cell, spot, draft.size);
    return four && toggled(draft, rule, four);
  }
  return null;
}

/**
 * A selection was drawn to its end by pointer.
 * @param {Draft} draft @param {Rule | null} rule @param {readonly number[]} selection @returns {Draft | null}
 */
export function drawn(draft, rule, selection) {
  if (rule?.form === "line" && selection.length >= Math.max(rule.fewest, 2)) return line(draft, rule, selection);
  if (rule?.form === "pair" && selection.length === 2) return entered(draft, rule, selection);
  return null;
}

/** @param {Draft} draft @param {Rule} rule @param {readonly number[]} selection */
const line = (draft, rule, selection) =>
  added(draft, { rule: rule.name, cells: selection.map((cell) => nameOf(cell, draft.size)) });

/**
 * Enter was pressed, or the add button, with these cells selected.
 * @param {Draft} draft @param {Rule | null} rule @param {readonly number[]} selection @returns {Draft | null} null: nothing fits
 */
export function entered(draft, rule, selection) {
  const [a = -1, b = -1] = selection;
  switch (rule?.form) {
    case "cell":
      return selection.reduce((made, cell) => toggled(made, rule, [cell]), draft);
    case "pair":
      return selection.length === 2 && beside(a, b, draft.size) ? toggled(draft, rule, selection) : null;
    case "corner":
      return selection.length === 4 ? toggled(draft, rule, [...selection].sort((x, y) => x - y)) : null;
    case "line":
      return selection.length >= rule.fewest ? line(draft, rule, selection) : null;
    case "area":
    case "cells":
      return selection.length >= rule.fewest ? toggled(draft, rule, [...selection].sort((x, y) => x - y)) : null;
    default:
      return null;
  }
}

/** A digit was typed; 0 erases. @param {Draft} draft @param {string} tool @param {readonly number[]} cells @param {number} digit @returns {Draft} */
export const typed = (draft, tool, cells, digit) =>
  tool === "regions" && digit ? painted(draft, cells, digit - 1) : given(draft, cells, digit);
