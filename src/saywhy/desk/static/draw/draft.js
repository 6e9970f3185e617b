/** A puzzle as it is drawn: every edit gives a new draft. Pure; the server judges what it means. */

/** @typedef {{rule: string, cells?: string[], groups?: string[][], value?: number | null, digits?: number[],
 *   pill?: number | null, count?: number | null}} Clue */

/**
 * @typedef {object} Draft
 * @property {string} title
 * @property {string} setter
 * @property {number} size
 * @property {number[]} givens one a cell, 0 where empty
 * @property {number[] | null} regions number of each cell's region; null for the usual boxes
 * @property {boolean} latin whether there are no regions
 * @property {string[]} rules
 * @property {string[]} all_given
 * @property {Clue[]} clues
 */

/** Rows and columns of the usual box. @type {Record<number, [number, number]>} */
export const BOXES = { 4: [2, 2], 6: [2, 3], 8: [2, 4], 9: [3, 3], 10: [2, 5], 12: [3, 4], 15: [3, 5], 16: [4, 4] };

/** Write givens into cells; the same digit again, or 0, takes them away. @param {Draft} draft @param {readonly number[]} cells @param {number} digit @returns {Draft} */
export function given(draft, cells, digit) {
  const same = cells.every((cell) => draft.givens[cell] === digit);
  const givens = draft.givens.slice();
  for (const cell of cells) givens[cell] = same ? 0 : digit;
  return { ...draft, givens };
}

/** Give an empty draft of another size that keeps its name. @param {Draft} draft @param {number} size @returns {Draft} */
export function sized(draft, size) {
  const givens = new Array(size * size).fill(0);
  return { ...draft, size, givens, regions: null, latin: !BOXES[size], clues: [], rules: [], all_given: [] };
}

/** Choose what the regions are. @param {Draft} draft @param {"usual" | "own" | "none"} what @returns {Draft} */
export function regioned(draft, what) {
  if (what === "none") return { ...draft, latin: true, regions: null };
  if (what === "usual") return { ...draft, latin: false, regions: null };
  return { ...draft, latin: false, regions: draft.regions ?? usual(draft.size) };
}

/** Which of the three it is now. @param {Draft} draft */
export const regionsOf = (draft) => (draft.latin ? "none" : draft.regions ? "own" : "usual");

/** The usual boxes as regions, or rows where there are none. @param {number} size */
export function usual(size) {
  const [height, width] = BOXES[size] ?? [1, size];
  const across = size / width;
  return Array.from({ length: size * size }, (_, cell) => Math.floor(Math.floor(cell / size) / height) * across + Math.floor((cell % size) / width));
}

/** Give cells to a region. @param {Draft} draft @param {readonly number[]} cells @param {number} region from 0 @returns {Draft} */
export function painted(draft, cells, region) {
  const regions = (draft.regions ?? usual(draft.size)).slice();
  for (const cell of cells) regions[cell] = region;
  return { ...draft, latin: false, regions };
}

/** Put in or take out a name of a list. @param {Draft} draft @param {"rules" | "all_given"} list @param {string} name @param {boolean} on @returns {Draft} */
export const ticked = (draft, list, name, on) => ({
  ...draft,
  [list]: on ? [...draft[list].filter((held) => held !== name), name] : draft[list].filter((held) => held !== name),
});

/** @param {Draft} draft @param {Clue} clue @returns {Draft} */
export const added = (draft, clue) => ({ ...draft, clues: [...draft.clues, clue] });

/** @param {Draft} draft @param {number} place @returns {Draft} */
export const removed = (draft, place) => ({ ...draft, clues: draft.clues.filter((_, other) => other !== place) });

/** @param {Draft} draft @param {number} place @param {Partial<Clue>} change @returns {Draft} */
export const changed = (draft, place, change) => ({
  ...draft,
  clues: draft.clues.map((clue, other) => (other === place ? { ...clue, ...change } : clue)),
});

/**
 * Find a clue of a rule on exactly these cells, -1 if there is none.
 * @param {Draft} draft @param {string} rule @param {readonly string[]} cells
 * @param {boolean} ordered whether another order of the same cells is another clue
 */
export function clueAt(draft, rule, cells, ordered) {
  const key = (/** @type {readonly string[]} */ names) => (ordered ? names : [...names].sort()).join();
  return draft.clues.findIndex((clue) => clue.rule === rule && key(clue.cells ?? []) === key(cells));
}
