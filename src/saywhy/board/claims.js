/**
 * What stands on the board after an act: the meaning of a recording's lines, as `saywhy.recording.acts`
 * states it. Pure; arrays are copied, never changed.
 */

import { TRAITS, cellOf, maskOf, sameCells, sorted } from "#app/board/cells.js";

/** @typedef {import("#app/board/types.js").Claims} Claims */
/** @typedef {import("#app/board/types.js").Deed} Deed */

/** @param {number} size @returns {Claims} */
export function noClaims(size) {
  const none = new Array(size * size).fill(0);
  return { digits: none, options: none, traits: none, tints: none, ties: [], sums: [] };
}

/** Give a list with some entries set. @param {readonly number[]} list @param {readonly number[]} at @param {number} value */
function set(list, at, value) {
  const copy = list.slice();
  for (const cell of at) copy[cell] = value;
  return copy;
}

/**
 * Say what an act of the board makes of the claims. Acts that touch no cell of the grid change nothing.
 * @param {Claims} claims @param {Deed} act @param {number} size @returns {Claims}
 */
export function write(claims, act, size) {
  const cell = act.cell === undefined ? -1 : cellOf(act.cell, size);
  const cells = (act.cells ?? []).map((name) => cellOf(name, size)).filter((found) => found >= 0);
  switch (act.do) {
    case "place":
      return cell < 0 ? claims : { ...claims, digits: set(claims.digits, [cell], act.digit ?? 0) };
    case "options":
      return cell < 0 ? claims : { ...claims, options: set(claims.options, [cell], maskOf(act.digits ?? [])) };
    case "tie":
      return { ...claims, ties: [...without(claims.ties, cells, act.digit), { cells: sorted(cells), digit: act.digit ?? 0 }] };
    case "sum": {
      const others = claims.sums.filter((sum) => !sameCells(sum.cells, cells));
      const total = act.total ?? null;
      return { ...claims, sums: total === null ? others : [...others, { cells: sorted(cells), total }] };
    }
    case "trait": {
      const traits = claims.traits.slice();
      for (const at of cells) traits[at] = traited(traits[at] ?? 0, act.trait ?? null);
      return { ...claims, traits };
    }
    case "tint":
      return { ...claims, tints: set(claims.tints, cells, act.tint ?? 0) };
    case "erase":
      if (cell < 0) return { ...claims, ties: without(claims.ties, cells, act.digit) };
      if (claims.digits[cell]) return { ...claims, digits: set(claims.digits, [cell], 0) };
      return { ...claims, options: set(claims.options, [cell], 0), traits: set(claims.traits, [cell], 0) };
    default:
      return claims;
  }
}

/** @param {readonly import("#app/board/types.js").Tie[]} ties @param {readonly number[]} cells @param {number} [digit] */
const without = (ties, cells, digit) => ties.filter((tie) => tie.digit !== digit || !sameCells(tie.cells, cells));

/** Give the mask of traits with one added; it replaces its opposite. @param {number} mask @param {string | null} trait */
function traited(mask, trait) {
  const place = TRAITS.findIndex((name) => name === trait);
  if (place < 0) return 0;
  return (mask & ~(3 << (place & ~1))) | (1 << place);
}
