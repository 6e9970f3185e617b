/**
 * Which digits break a rule as they stand: every rule comes as five plain kinds of statement about cells, the
 * same that the prover works with. Pure.
 */

/**
 * @typedef {object} Statements
 * @property {number[][]} different no digit twice
 * @property {[number[], number[], number][]} sums coefficients, cells, total
 * @property {[number, number, number][]} pairs cells and the number of their table
 * @property {number[][]} tables for digit d of the first cell, a mask of digits of the second
 * @property {[number[], number][]} words cells and the number of their automaton
 * @property {{moves: number[][], accepting: number[]}[]} automata
 * @property {number[][]} counts a digit in these cells stands in as many of them
 */

/** @param {Statements} rules @param {readonly number[]} digits 0 where empty @param {number} size @returns {number[]} */
export function breaks(rules, digits, size) {
  /** @type {Set<number>} */
  const found = new Set();
  const at = (/** @type {number} */ cell) => digits[cell] ?? 0;
  const blame = (/** @type {number[]} */ cells) => cells.filter(at).forEach((cell) => found.add(cell));
  for (const cells of rules.different) blame(cells.filter((cell) => at(cell) && cells.some((other) => other !== cell && at(other) === at(cell))));
  for (const [weights, cells, total] of rules.sums) {
    let [least, most] = [0, 0];
    cells.forEach((cell, k) => {
      const weight = weights[k] ?? 0;
      const [low, high] = at(cell) ? [at(cell), at(cell)] : [1, size];
      least += Math.min(weight * low, weight * high);
      most += Math.max(weight * low, weight * high);
    });
    if (total < least || total > most) blame(cells);
  }
  for (const [a, b, table] of rules.pairs) {
    if (at(a) && at(b) && !(((rules.tables[table]?.[at(a) - 1] ?? 0) >> (at(b) - 1)) & 1)) blame([a, b]);
  }
  for (const [cells, number] of rules.words) {
    const automaton = rules.automata[number];
    if (automaton && !possible(automaton, cells.map(at))) blame(cells);
  }
  for (const cells of rules.counts) {
    const empty = cells.filter((cell) => !at(cell)).length;
    for (let digit = 1; digit <= size; digit += 1) {
      const holding = cells.filter((cell) => at(cell) === digit);
      if (holding.length > digit || (holding.length && holding.length + empty < digit)) blame(holding);
    }
  }
  return [...found].sort((a, b) => a - b);
}

/** @param {{moves: number[][], accepting: number[]}} automaton @param {number[]} word 0 for any digit */
function possible({ moves, accepting }, word) {
  let states = new Set([0]);
  for (const digit of word) {
    /** @type {Set<number>} */
    const next = new Set();
    for (const state of states) {
      const row = moves[state] ?? [];
      for (const after of digit ? [row[digit - 1] ?? -1] : row) if (after >= 0) next.add(after);
    }
    states = next;
  }
  return accepting.some((state) => states.has(state));
}
