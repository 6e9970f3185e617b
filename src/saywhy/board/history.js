/** Undo and redo. A recording takes back one act at a time; a person takes back one gesture. */

import { write } from "#app/board/claims.js";

/** @typedef {import("#app/board/types.js").State} State */
/** @typedef {import("#app/board/types.js").Act} Act */

/** Acts that do not touch the board; undo passes them by. */
const ASIDE = new Set(["marker", "pause", "resume", "finish"]);

/** Give the state after one line of a recording. @param {State} state @param {Act} act @returns {State} */
export function take(state, act) {
  if (ASIDE.has(act.do)) return state;
  if (act.do === "undo") {
    const last = state.past.at(-1);
    if (!last) return state;
    return { ...state, claims: last.before, past: state.past.slice(0, -1), future: [...state.future, last] };
  }
  if (act.do === "redo") {
    const next = state.future.at(-1);
    if (!next) return state;
    return { ...state, claims: next.after, past: [...state.past, next], future: state.future.slice(0, -1) };
  }
  const after = write(state.claims, act, state.size);
  return { ...state, claims: after, past: [...state.past, { t: act.t, before: state.claims, after }], future: [] };
}

/** Give the state after all lines of a recording. @param {State} state @param {readonly Act[]} acts */
export const takeAll = (state, acts) => acts.reduce(take, state);

/** Say how many acts the last gesture has, 0 where there is none. @param {readonly {t: number}[]} list */
export function gesture(list) {
  const last = list.at(-1);
  let count = 0;
  while (last && list.at(-1 - count)?.t === last.t) count += 1;
  return count;
}
