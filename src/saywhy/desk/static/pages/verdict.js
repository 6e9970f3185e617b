/** Verdicts in words, alike on every page. */

/** @type {Record<string, [string, string]>} */
export const VERDICTS = {
  unique: ["One solution", "It is fit to air."],
  many: ["More than one solution", "It is not fit to air: something is missing."],
  none: ["No solution", "It is not fit to air: something clashes."],
  undecided: ["Not decided", "The time allowed ran out before there was a proof."],
};

/** @param {number} seconds */
export const inTime = (seconds) => (seconds < 1 ? `${Math.max(1, Math.round(seconds * 1000))}\u00a0ms` : `${seconds.toFixed(1)}\u00a0s`);
