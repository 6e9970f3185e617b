/** A path as a rehearsal goes through it. */

import assert from "node:assert/strict";
import test from "node:test";

import { beginOf, posed, why } from "../../../src/saywhy/desk/static/pages/rehearsal.js";

const step = (n, beat, more) => ({ n, beat, text: "", written: `reason ${n}`, marks: [], places: [], removes: [], facts: [], ...more });
const steps = [
  step(1, 1, { removes: [{ cell: "r1c2", digits: [3] }] }),
  step(2, 1, { places: [{ cell: "r1c1", digit: 3 }], facts: [{ cell: "r1c2", digits: [1, 2] }], marks: [{ group: "a", cells: ["r1c1"], role: "result" }] }),
  step(3, 2, { places: [{ cell: "r1c2", digit: 1 }] }),
];

test("a step shows what is placed up to it and the options that it speaks of", () => {
  assert.deepEqual(posed(steps, 0, 4).claims.digits.filter(Boolean), []);
  assert.equal(posed(steps, 0, 4).claims.options[1], 0b1011);
  const second = posed(steps, 1, 4);
  assert.equal(second.claims.digits[0], 3);
  assert.equal(second.claims.options[1], 0b11);
  assert.deepEqual(second.marks, [{ group: "a", role: "result", cells: [0] }]);
  assert.deepEqual(posed(steps, 2, 4).claims.digits.slice(0, 2), [3, 1]);
});

test("a beat begins with its first step", () => {
  assert.deepEqual([1, 2, 3].map((beat) => beginOf(steps, beat)), [0, 2, -1]);
});

test("a cell is explained by the step that placed it", () => {
  const givens = new Array(16).fill(0);
  givens[5] = 4;
  assert.deepEqual(why(steps, 1, givens, 4), { words: "reason 3", at: 2 });
  assert.deepEqual(why(steps, 5, givens, 4), { words: "The 4 is given.", at: -1 });
  assert.equal(why(steps, 9, givens, 4).at, -1);
});
