/** Hints of the viewers' page: what a step concludes. */

import assert from "node:assert/strict";
import test from "node:test";

import { conclusion, reason } from "../../../src/saywhy/publishing/page/hints.js";

const word = (name, held = {}) => ({ is: `${held.cell} is ${held.digit}`, is_not: `${held.cell} is not ${held.digits}`, so: `So ${held.all}.`, or: `${held.first} or ${held.last}` })[name];
const step = (text, more) => ({ beat: 1, text, where: "", clue: "", places: [], removes: [], marks: [], ...more });

test("what a step concludes is said once", () => {
  const placed = { places: [[27, 9]] };
  const concluded = conclusion(step("", placed), 9, word);
  assert.equal(concluded, "So r4c1 is 9.");
  assert.equal(reason(step("Only one building is seen, so the 9 stands first. So r4c1 is 9.", placed), concluded), "Only one building is seen, so the 9 stands first.");
  assert.equal(reason(step("The 9 of row 4 goes there.", placed), concluded), "The 9 of row 4 goes there.");
  assert.equal(conclusion(step("", { removes: [[0, 0b110]] }), 9, word), "So r1c1 is not 2 or 3.");
});
