/** Undo and redo of a drawing, a step for each thing done; what is typed into one field is one thing. Pure. */

/** @typedef {import("#app/draw/draft.js").Draft} Draft */

/** So many steps can be taken back. */
const MOST = 500;

/**
 * @typedef {object} Past
 * @property {readonly Draft[]} before what was there before each step, the last one last
 * @property {readonly Draft[]} after what was taken back, the next to come again last
 * @property {string} field the field that is being typed into; "" where the last step was something else
 */

/** @type {Past} */
export const NOTHING = { before: [], after: [], field: "" };

/**
 * Take note of a step.
 * @param {Past} past @param {Draft} from @param {Draft} to
 * @param {string} [field] which field it was typed into: the next character there belongs to the same step
 * @returns {Past}
 */
export function stepped(past, from, to, field = "") {
  if (!field || field !== past.field) return { before: [...past.before.slice(1 - MOST), from], after: [], field };
  // Typed and rubbed out again is nothing done.
  const same = JSON.stringify(past.before.at(-1)) === JSON.stringify(to);
  return same ? { before: past.before.slice(0, -1), after: [], field: "" } : { ...past, after: [] };
}

/** The field was left: what is typed there next is a step of its own. @param {Past} past @returns {Past} */
export const left = (past) => ({ ...past, field: "" });

/**
 * Take a step back, or do it again.
 * @param {Past} past @param {Draft} now @param {"undo" | "redo"} way
 * @returns {{past: Past, draft: Draft} | null} null: there is none
 */
export function gone(past, now, way) {
  const draft = (way === "undo" ? past.before : past.after).at(-1);
  if (!draft) return null;
  const { before, after } = past;
  if (way === "undo") return { draft, past: { before: before.slice(0, -1), after: [...after, now], field: "" } };
  return { draft, past: { before: [...before, now], after: after.slice(0, -1), field: "" } };
}
