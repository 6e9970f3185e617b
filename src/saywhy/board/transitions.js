/**
 * What each intent of a person does: pure functions from a state to the next state, or to the deeds that
 * are to be written. No DOM, no time, no puzzle logic.
 */

import { TINTS, TRAITS, between, digitsOf, nameOf, sameCells } from "#app/board/cells.js";
import { gesture } from "#app/board/history.js";

/** @typedef {import("#app/board/types.js").State} State */
/** @typedef {import("#app/board/types.js").Deed} Deed */
/** @typedef {import("#app/board/types.js").Pen} Pen */
/** @typedef {import("#app/board/types.js").Trait} Trait */

/** Figures of a sum note at most. */
const LONGEST_SUM = 4;

/** Select one cell. @param {State} state @param {number} cell @returns {State} */
export const select = (state, cell) => ({ ...state, selection: [cell], focus: cell, anchor: cell, entry: "" });

/** Select these cells. @param {State} state @param {readonly number[]} cells @returns {State} */
export function selectAll(state, cells) {
  const last = cells.at(-1) ?? state.focus;
  return { ...state, selection: cells, focus: last, anchor: cells[0] ?? last, entry: "" };
}

/** Add a cell to the selection, or take it out. @param {State} state @param {number} cell @returns {State} */
export function toggle(state, cell) {
  const held = state.selection.includes(cell);
  const selection = held ? state.selection.filter((other) => other !== cell) : [...state.selection, cell];
  return { ...state, selection, focus: cell, anchor: cell, entry: "" };
}

/** Draw the selection on to a cell, through those between. @param {State} state @param {number} cell @returns {State} */
export function extend(state, cell) {
  const way = between(state.focus, cell, state.size).filter((other) => !state.selection.includes(other));
  return { ...state, selection: [...state.selection, ...way], focus: cell, entry: "" };
}

/**
 * Go by rows and columns, stopping at the edge.
 * @param {State} state @param {number} down @param {number} right
 * @param {"select" | "extend" | "only"} how what becomes of the selection: it moves, grows or stays
 * @returns {State}
 */
export function go(state, down, right, how = "select") {
  const last = state.size - 1;
  const row = Math.min(Math.max(Math.floor(state.focus / state.size) + down, 0), last);
  const column = Math.min(Math.max((state.focus % state.size) + right, 0), last);
  const cell = row * state.size + column;
  if (how === "only") return { ...state, focus: cell, entry: "" };
  if (how === "select") return select(state, cell);
  if (!state.selection.length) return extend({ ...state, selection: [state.focus] }, cell);
  // Going back along the way it came takes the last cell out again, so a slip is mended by the opposite key.
  const before = state.selection.at(-2);
  if (before === cell && state.selection.at(-1) === state.focus) {
    return { ...state, selection: state.selection.slice(0, -1), focus: cell, entry: "" };
  }
  return extend(state, cell);
}

/** Select the row of the focus, its column, everything or nothing. @param {State} state @param {"row" | "column" | "all" | "none"} what */
export function sweep(state, what) {
  const cells = state.givens.map((_, cell) => cell);
  const row = Math.floor(state.focus / state.size);
  const column = state.focus % state.size;
  const held = {
    row: cells.filter((cell) => Math.floor(cell / state.size) === row),
    column: cells.filter((cell) => cell % state.size === column),
    all: cells,
    none: [],
  }[what];
  return { ...state, selection: held, entry: "" };
}

/** Take a pen. @param {State} state @param {Pen} pen @returns {State} */
export const takePen = (state, pen) =>
  state.pen === pen ? { ...state, entry: "" } : { ...state, pen, otherPen: state.pen, entry: "" };

/** The cells that a key writes to: the selection, or the cell in focus. @param {State} state */
export const aim = (state) => (state.selection.length ? state.selection : [state.focus]);

/** Those of them that hold no given. @param {State} state */
const open = (state) => aim(state).filter((cell) => !state.givens[cell]);

/** @param {State} state @param {readonly number[]} cells */
const names = (state, cells) => cells.map((cell) => nameOf(cell, state.size));

/**
 * A figure key: what it writes with the pen in hand.
 * @param {State} state @param {number} figure 0 to 9
 * @returns {{state: State, deeds: Deed[]}}
 */
export function figure(state, figure) {
  if (state.pen === "sum") {
    const entry = (state.entry + figure).replace(/^0+(?=\d)/, "").slice(0, LONGEST_SUM);
    return { state: { ...state, entry }, deeds: [] };
  }
  if (state.pen === "tint") return { state, deeds: figure <= TINTS ? tint(state, figure) : [] };
  if (state.size > 9 && figure === 0 && state.entry === "") return { state: { ...state, entry: "0" }, deeds: [] };
  const digit = figure + (state.entry === "0" ? 10 : 0);
  return { state: { ...state, entry: "" }, deeds: digitDeeds(state, digit) };
}

/** What a digit writes with the pen in hand. @param {State} state @param {number} digit @returns {Deed[]} */
export function digitDeeds(state, digit) {
  if (state.locked || digit < 1 || digit > state.size) return [];
  const { digits, options } = state.claims;
  if (state.pen === "digit") {
    const cells = open(state);
    // The same digit again takes it away.
    if (cells.every((cell) => digits[cell] === digit)) return erase(state);
    return cells.filter((cell) => digits[cell] !== digit).map((cell) => ({ do: "place", cell: nameOf(cell, state.size), digit }));
  }
  if (state.pen === "options") {
    const cells = open(state).filter((cell) => !digits[cell]);
    const bit = 1 << (digit - 1);
    const all = cells.every((cell) => (options[cell] ?? 0) & bit);
    return cells
      .filter((cell) => all || !((options[cell] ?? 0) & bit))
      .map((cell) => ({ do: "options", cell: nameOf(cell, state.size), digits: digitsOf((options[cell] ?? 0) ^ bit) }));
  }
  if (state.pen === "tie") {
    const cells = open(state);
    if (cells.length < 2) return [];
    const held = state.claims.ties.some((tie) => tie.digit === digit && sameCells(tie.cells, cells));
    return [{ do: held ? "erase" : "tie", cells: names(state, [...cells].sort((a, b) => a - b)), digit }];
  }
  return [];
}

/** A tint, 0 for none; the same tint again takes it away. @param {State} state @param {number} number @returns {Deed[]} */
export function tint(state, number) {
  if (state.locked) return [];
  const cells = aim(state);
  const same = cells.every((cell) => state.claims.tints[cell] === number);
  if (same && !number) return [];
  return [{ do: "tint", cells: names(state, cells), tint: same || !number ? null : number }];
}

/** Low or high, odd or even; the same again takes it away. @param {State} state @param {Trait} name @returns {Deed[]} */
export function trait(state, name) {
  const cells = open(state);
  if (state.locked || !cells.length) return [];
  const place = TRAITS.indexOf(name);
  if (!cells.every((cell) => ((state.claims.traits[cell] ?? 0) >> place) & 1)) {
    return [{ do: "trait", cells: names(state, cells), trait: name }];
  }
  // One trait of two can only be taken away by taking both and writing the other one again.
  const rest = TRAITS.filter((_, k) => k >> 1 !== place >> 1);
  /** @type {Deed[]} */
  const deeds = [{ do: "trait", cells: names(state, cells), trait: null }];
  for (const other of rest) {
    const held = cells.filter((cell) => ((state.claims.traits[cell] ?? 0) >> TRAITS.indexOf(other)) & 1);
    if (held.length) deeds.push({ do: "trait", cells: names(state, held), trait: other });
  }
  return deeds;
}

/** The sum that was typed is written; an empty one takes the note away. @param {State} state @returns {Deed[]} */
export function sum(state) {
  if (state.locked || state.pen !== "sum") return [];
  const cells = aim(state);
  const held = state.claims.sums.some((note) => sameCells(note.cells, cells));
  if (!state.entry && !held) return [];
  return [{ do: "sum", cells: names(state, [...cells].sort((a, b) => a - b)), total: state.entry ? Number(state.entry) : null }];
}

/**
 * Take away what the cells hold: digits first; where there are none, options and traits; where there is
 * nothing in them, the tints, ties and sums that these very cells carry.
 * @param {State} state @returns {Deed[]}
 */
export function erase(state) {
  if (state.locked) return [];
  const { digits, options, traits, tints, ties, sums } = state.claims;
  const cells = open(state);
  /** @type {(cell: number) => Deed} */
  const away = (cell) => ({ do: "erase", cell: nameOf(cell, state.size) });
  const placed = cells.filter((cell) => digits[cell]);
  if (placed.length) return placed.map(away);
  const noted = cells.filter((cell) => options[cell] || traits[cell]);
  if (noted.length) return noted.map(away);
  const inside = (/** @type {readonly number[]} */ held) => held.every((cell) => aim(state).includes(cell));
  /** @type {Deed[]} */
  const deeds = [];
  for (const tie of ties) if (inside(tie.cells)) deeds.push({ do: "erase", cells: names(state, tie.cells), digit: tie.digit });
  for (const note of sums) if (inside(note.cells)) deeds.push({ do: "sum", cells: names(state, note.cells), total: null });
  const tinted = aim(state).filter((cell) => tints[cell]);
  if (!deeds.length && tinted.length) deeds.push({ do: "tint", cells: names(state, tinted), tint: null });
  return deeds;
}

/** Take back the last gesture, or bring one back. @param {State} state @param {"undo" | "redo"} way @returns {Deed[]} */
export function back(state, way) {
  if (state.locked) return [];
  const count = gesture(way === "undo" ? state.past : state.future);
  return Array.from({ length: count }, () => ({ do: way }));
}

/** Rub out a figure of a sum that is being typed. @param {State} state @returns {State} */
export const shorten = (state) => ({ ...state, entry: state.entry.slice(0, -1) });
