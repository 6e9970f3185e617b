/**
 * The board's keys: one table, from which the keyboard is bound and the help sheet is written.
 * Keys that say the same share a line of the sheet. Names of keys are those of KeyboardEvent.key in lower case; "Ctrl" is also the command key of a Mac.
 */

import { word } from "#app/board/words.js";

/** @typedef {{id: string, keys: readonly string[], says: string, group: string}} Key */

/** @type {readonly Key[]} */
export const KEYS = [
  { id: "go-up", keys: ["arrowup"], says: "Go one cell", group: "Move" },
  { id: "go-down", keys: ["arrowdown"], says: "Go one cell", group: "Move" },
  { id: "go-left", keys: ["arrowleft"], says: "Go one cell", group: "Move" },
  { id: "go-right", keys: ["arrowright"], says: "Go one cell", group: "Move" },
  { id: "go-row-start", keys: ["home"], says: "First and last cell of the row", group: "Move" },
  { id: "go-row-end", keys: ["end"], says: "First and last cell of the row", group: "Move" },
  { id: "go-first", keys: ["ctrl+home"], says: "First and last cell of the grid", group: "Move" },
  { id: "go-last", keys: ["ctrl+end"], says: "First and last cell of the grid", group: "Move" },
  { id: "go-page-up", keys: ["pageup"], says: "Up and down by a box", group: "Move" },
  { id: "go-page-down", keys: ["pagedown"], says: "Up and down by a box", group: "Move" },
  { id: "more-up", keys: ["shift+arrowup"], says: "Select on, in the order of the way", group: "Select" },
  { id: "more-down", keys: ["shift+arrowdown"], says: "Select on, in the order of the way", group: "Select" },
  { id: "more-left", keys: ["shift+arrowleft"], says: "Select on, in the order of the way", group: "Select" },
  { id: "more-right", keys: ["shift+arrowright"], says: "Select on, in the order of the way", group: "Select" },
  { id: "only-up", keys: ["ctrl+arrowup"], says: "Go one cell and keep the selection", group: "Select" },
  { id: "only-down", keys: ["ctrl+arrowdown"], says: "Go one cell and keep the selection", group: "Select" },
  { id: "only-left", keys: ["ctrl+arrowleft"], says: "Go one cell and keep the selection", group: "Select" },
  { id: "only-right", keys: ["ctrl+arrowright"], says: "Go one cell and keep the selection", group: "Select" },
  { id: "toggle", keys: [" "], says: "Add this cell, or take it out", group: "Select" },
  { id: "sweep-row", keys: ["shift+ "], says: "The whole row", group: "Select" },
  { id: "sweep-column", keys: ["ctrl+ "], says: "The whole column", group: "Select" },
  { id: "sweep-all", keys: ["ctrl+a"], says: "Everything", group: "Select" },
  { id: "sweep-none", keys: ["escape"], says: "Nothing", group: "Select" },
  { id: "pen-digit", keys: ["d"], says: "Digit pen", group: "Write" },
  { id: "pen-options", keys: ["o"], says: "Options pen: what a cell may still be", group: "Write" },
  { id: "pen-tie", keys: ["t"], says: "Tie pen: the digit is in one of these cells", group: "Write" },
  { id: "pen-sum", keys: ["s"], says: "Sum pen: type the total, then Enter", group: "Write" },
  { id: "pen-tint", keys: ["i"], says: "Tint pen: 1 to 6, 0 for none", group: "Write" },
  { id: "pen-other", keys: [".", ","], says: "The pen held before", group: "Write" },
  { id: "enter", keys: ["enter"], says: "Write the sum that was typed", group: "Write" },
  { id: "trait-low", keys: ["l"], says: "Low, high", group: "Write" },
  { id: "trait-high", keys: ["h"], says: "Low, high", group: "Write" },
  { id: "trait-odd", keys: ["u"], says: "Uneven (odd), even", group: "Write" },
  { id: "trait-even", keys: ["e"], says: "Uneven (odd), even", group: "Write" },
  { id: "erase", keys: ["delete", "backspace"], says: "Erase", group: "Write" },
  { id: "undo", keys: ["ctrl+z"], says: "Undo", group: "Write" },
  { id: "redo", keys: ["ctrl+y", "ctrl+shift+z"], says: "Redo", group: "Write" },
];

/** Give the name of a pressed key as the table has it. @param {KeyboardEvent} event */
export function pressed(event) {
  const key = event.key.toLowerCase();
  const shift = event.shiftKey && (key.length > 1 || key === " " || event.ctrlKey || event.metaKey);
  return `${event.ctrlKey || event.metaKey ? "ctrl+" : ""}${shift ? "shift+" : ""}${key}`;
}

/** @type {Record<string, string>} */
const SHOWN = { " ": word("key_space"), arrowup: "↑", arrowdown: "↓", arrowleft: "←", arrowright: "→", pageup: word("key_page_up"), pagedown: word("key_page_down") };

/** Give a key's name as the help sheet prints it. @param {string} key */
export const printedKey = (key) =>
  key
    .split(/\+(?=.)/)
    .map((part) => SHOWN[part] ?? (part.length > 1 ? part[0]?.toUpperCase() + part.slice(1) : part.toUpperCase()))
    .join(" + ");
