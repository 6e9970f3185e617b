/** Which step comes next for a viewer's board, and how much of it is told. Pure. */

/**
 * @typedef {object} Step
 * @property {number} beat
 * @property {string} text
 * @property {string} where
 * @property {string} clue
 * @property {[number, number][]} places cell and digit
 * @property {[number, number][]} removes cell and mask of digits
 * @property {{group: string, cells: number[], role: "look" | "because" | "result"}[]} marks
 */

/**
 * Give the first step that the board does not hold yet.
 * @param {readonly Step[]} steps @param {readonly number[]} digits @param {ReadonlySet<number>} told steps that were told in full
 * @returns {number} -1 where there is none
 */
export const nextStep = (steps, digits, told) =>
  steps.findIndex((step, n) => {
    if (step.places.length) return step.places.some(([cell, digit]) => digits[cell] !== digit);
    return !told.has(n) && step.removes.some(([cell]) => !digits[cell]);
  });

/** Give a cell whose digit is not the one of the path, -1 if there is none. @param {readonly Step[]} steps @param {readonly number[]} digits */
export function wrongCell(steps, digits) {
  for (const step of steps) for (const [cell, digit] of step.places) if (digits[cell] && digits[cell] !== digit) return cell;
  return -1;
}

/** @param {number} cell @param {number} size */
const name = (cell, size) => `r${Math.floor(cell / size) + 1}c${(cell % size) + 1}`;

/**
 * Say why, without the conclusion where the reason ends with just that, which is said beside it.
 * @param {Step} step @param {string} concluded
 */
export const reason = (step, concluded) => (step.text.endsWith(concluded) ? step.text.slice(0, -concluded.length).trim() : step.text);

/**
 * Say what a step concludes.
 * @param {Step} step @param {number} size @param {(name: string, values?: Record<string, string | number>) => string} word
 */
export function conclusion(step, size, word) {
  const placed = step.places.map(([cell, digit]) => word("is", { cell: name(cell, size), digit }));
  const gone = step.removes.map(([cell, mask]) => {
    const digits = Array.from({ length: size }, (_, k) => k + 1).filter((digit) => (mask >> (digit - 1)) & 1);
    const all = digits.length > 1 ? word("or", { first: digits.slice(0, -1).join(", "), last: digits.at(-1) ?? 0 }) : String(digits[0]);
    return word("is_not", { cell: name(cell, size), digits: all });
  });
  return word("so", { all: [...placed, ...gone].join("; ") });
}

export { name as cellName };
