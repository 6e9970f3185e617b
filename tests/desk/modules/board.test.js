/** The board without a page: what each intent of a person does, and what it writes. */

import assert from "node:assert/strict";
import test from "node:test";

import { between, cellOf, digitsOf, maskOf, nameOf } from "../../../src/saywhy/board/cells.js";
import { noClaims, write } from "../../../src/saywhy/board/claims.js";
import { gesture, takeAll } from "../../../src/saywhy/board/history.js";
import { KEYS, pressed, printedKey } from "../../../src/saywhy/board/keys.js";
import { describe, told } from "../../../src/saywhy/board/speech.js";
import { initial } from "../../../src/saywhy/board/state.js";
import * as transitions from "../../../src/saywhy/board/transitions.js";

const none = new Array(81).fill(0);
const fresh = (more = {}) => ({ ...initial({ size: 9, box: [3, 3], givens: none }), ...more });

/** Do what a person does: figures and intents one after another; every write is at a later time. */
function play(state, ...intents) {
  let t = state.past.at(-1)?.t ?? 0;
  for (const intent of intents) {
    const result = intent(state);
    const [next, deeds] = Array.isArray(result) ? [state, result] : result.deeds ? [result.state, result.deeds] : [result, []];
    t += 1;
    state = takeAll(next, deeds.map((deed) => ({ t, ...deed })));
  }
  return state;
}
const figure = (n) => (state) => transitions.figure(state, n);
const pen = (name) => (state) => transitions.takePen(state, name);
const at = (...names) => (state) => transitions.selectAll(state, names.map((name) => cellOf(name, state.size)));
const undo = (state) => transitions.back(state, "undo");
const redo = (state) => transitions.back(state, "redo");

test("names and cells belong together", () => {
  for (let cell = 0; cell < 256; cell += 1) assert.equal(cellOf(nameOf(cell, 16), 16), cell);
  for (const name of ["r0c1", "r10c1", "r1c", "c1r1", "", "r1c1 "]) assert.equal(cellOf(name, 9), -1);
  for (const digits of [[], [1], [9], [1, 5, 9], [16]]) assert.deepEqual(digitsOf(maskOf(digits)), digits);
});

test("a quick stroke fills in the cells that it skipped", () => {
  assert.deepEqual(between(0, 3, 9), [0, 1, 2, 3]);
  assert.deepEqual(between(0, 20, 9), [0, 10, 20]);
  assert.deepEqual(between(20, 0, 9), [20, 10, 0]);
  assert.deepEqual(between(5, 5, 9), [5]);
});

test("arrows stop at the edge", () => {
  const corner = transitions.go(fresh(), -1, 0);
  assert.equal(corner.focus, 0);
  assert.equal(transitions.go(fresh({ focus: 80 }), 1, 1).focus, 80);
  assert.equal(transitions.go(fresh({ focus: 4 }), 0, 9).focus, 8);
});

test("shift and arrows draw the selection on, and back along the way", () => {
  let state = transitions.select(fresh(), 0);
  for (const [down, right] of [[0, 1], [1, 0], [1, 0]]) state = transitions.go(state, down, right, "extend");
  assert.deepEqual(state.selection, [0, 1, 10, 19]);
  state = transitions.go(state, -1, 0, "extend");
  assert.deepEqual(state.selection, [0, 1, 10]);
  assert.equal(transitions.go(state, 0, 1, "only").selection, state.selection);
});

test("a digit is written, replaced, and taken away by itself", () => {
  let state = play(fresh(), at("r3c4"), figure(7));
  assert.equal(state.claims.digits[21], 7);
  state = play(state, figure(2));
  assert.equal(state.claims.digits[21], 2);
  state = play(state, figure(2));
  assert.equal(state.claims.digits[21], 0);
});

test("givens are never written on", () => {
  const givens = none.slice();
  givens[0] = 5;
  const state = play(fresh({ givens }), at("r1c1", "r1c2"), figure(3));
  assert.deepEqual(state.claims.digits.slice(0, 2), [0, 3]);
  assert.deepEqual(transitions.erase(transitions.select(state, 0)), []);
});

test("options join and leave; a digit hides them and erasing it brings them back", () => {
  let state = play(fresh(), at("r1c1", "r1c2"), pen("options"), figure(2), figure(5));
  assert.deepEqual(state.claims.options.slice(0, 3), [18, 18, 0]);
  state = play(state, at("r1c1"), figure(2), at("r1c1", "r1c2"), figure(2));
  assert.deepEqual(state.claims.options.slice(0, 2), [18, 18]);
  state = play(state, at("r1c1"), pen("digit"), figure(5), transitions.erase);
  assert.deepEqual([state.claims.digits[0], state.claims.options[0]], [0, 18]);
  state = play(state, transitions.erase);
  assert.equal(state.claims.options[0], 0);
});

test("a tie joins at least two cells, and the same again takes it away", () => {
  let state = play(fresh(), pen("tie"), at("r1c1"), figure(4));
  assert.deepEqual(state.claims.ties, []);
  state = play(state, at("r1c3", "r1c1"), figure(4), figure(6));
  assert.deepEqual(state.claims.ties, [{ cells: [0, 2], digit: 4 }, { cells: [0, 2], digit: 6 }]);
  state = play(state, figure(4));
  assert.deepEqual(state.claims.ties, [{ cells: [0, 2], digit: 6 }]);
});

test("a sum is typed and then written; another total replaces it; none takes it away", () => {
  let state = play(fresh(), pen("sum"), at("r2c2", "r2c1"), figure(1), figure(7));
  assert.equal(state.entry, "17");
  const enter = (now) => ({ state: { ...now, entry: "" }, deeds: transitions.sum(now) });
  state = play(state, enter);
  assert.deepEqual(state.claims.sums, [{ cells: [9, 10], total: 17 }]);
  state = play(state, figure(9), enter);
  assert.deepEqual(state.claims.sums, [{ cells: [9, 10], total: 9 }]);
  state = play(state, enter);
  assert.deepEqual(state.claims.sums, []);
});

test("low and high replace each other, odd and even stand beside them", () => {
  let state = play(fresh(), at("r1c1"), (s) => transitions.trait(s, "low"), (s) => transitions.trait(s, "odd"));
  assert.equal(state.claims.traits[0], 5);
  state = play(state, (s) => transitions.trait(s, "high"));
  assert.equal(state.claims.traits[0], 6);
  state = play(state, (s) => transitions.trait(s, "high"));
  assert.equal(state.claims.traits[0], 4);
  state = play(state, undo);
  assert.equal(state.claims.traits[0], 6, "taking one trait away is one gesture");
});

test("tints come, change and go, on givens too", () => {
  const givens = none.slice();
  givens[0] = 5;
  let state = play(fresh({ givens }), pen("tint"), at("r1c1", "r1c2"), figure(3));
  assert.deepEqual(state.claims.tints.slice(0, 3), [3, 3, 0]);
  state = play(state, figure(7), figure(8));
  assert.deepEqual(state.claims.tints.slice(0, 2), [3, 3]);
  state = play(state, figure(0));
  assert.deepEqual(state.claims.tints.slice(0, 2), [0, 0]);
});

test("undo takes back a gesture, redo brings it back, and writing forgets what was taken back", () => {
  let state = play(fresh(), at("r1c1", "r5c5", "r9c9"), figure(8));
  assert.equal(gesture(state.past), 3);
  assert.equal(transitions.back(state, "undo").length, 3);
  state = play(state, undo);
  assert.equal(state.claims.digits.filter(Boolean).length, 0);
  state = play(state, redo);
  assert.equal(state.claims.digits.filter((digit) => digit === 8).length, 3);
  state = play(state, undo, at("r2c2"), figure(1));
  assert.deepEqual(transitions.back(state, "redo"), []);
  assert.deepEqual(transitions.back(fresh(), "undo"), []);
});

test("what a recording says is what stood on the board, whatever was done", () => {
  // A plain generator (Park and Miller, 1988), so that a failure repeats.
  let seed = 20261125;
  const random = (below) => {
    seed = (seed * 48271) % 2147483647;
    return seed % below;
  };
  const size = 4;
  let state = initial({ size, givens: new Array(16).fill(0) });
  const acts = [];
  for (let n = 0; n < 3000; n += 1) {
    const choice = random(9);
    let deeds = [];
    if (choice === 0) state = transitions.select(state, random(16));
    else if (choice === 1) state = transitions.toggle(state, random(16));
    else if (choice === 2) state = transitions.takePen(state, ["digit", "options", "tie", "sum", "tint"][random(5)]);
    else if (choice === 3) deeds = transitions.back(state, random(3) ? "undo" : "redo");
    else if (choice === 4) deeds = transitions.erase(state);
    else if (choice === 5) deeds = transitions.trait(state, ["low", "high", "odd", "even"][random(4)]);
    else if (choice === 6) deeds = transitions.sum(state);
    else ({ state, deeds } = transitions.figure(state, random(10)));
    const made = deeds.map((deed) => ({ t: n, ...deed }));
    acts.push(...made);
    state = takeAll(state, made);
  }
  assert.ok(acts.length > 1000);
  const again = takeAll(initial({ size, givens: new Array(16).fill(0) }), JSON.parse(JSON.stringify(acts)));
  assert.deepEqual(again.claims, state.claims);
});

test("claims are never changed in place", () => {
  const frozen = Object.freeze(Object.fromEntries(Object.entries(noClaims(4)).map(([key, list]) => [key, Object.freeze(list)])));
  for (const act of [
    { do: "place", cell: "r1c1", digit: 2 },
    { do: "options", cell: "r1c1", digits: [1] },
    { do: "tie", cells: ["r1c1", "r1c2"], digit: 2 },
    { do: "sum", cells: ["r1c1"], total: 2 },
    { do: "trait", cells: ["r1c1"], trait: "odd" },
    { do: "tint", cells: ["r1c1"], tint: 2 },
    { do: "erase", cell: "r1c1" },
  ]) {
    assert.notEqual(write(frozen, act, 4), frozen);
  }
  assert.equal(write(frozen, { do: "place", cell: "r9c9", digit: 2 }, 4), frozen);
});

test("nothing is written on a locked board", () => {
  const state = play(fresh({ locked: true }), at("r1c1", "r1c2"), figure(3), pen("tie"), figure(3), pen("tint"), figure(1), transitions.erase);
  assert.deepEqual(state.past, []);
});

test("above nine, 0 and a figure make ten and that much more", () => {
  let state = { ...initial({ size: 16, givens: new Array(256).fill(0) }), selection: [0] };
  state = play(state, figure(0));
  assert.equal(state.entry, "0");
  state = play(state, figure(6));
  assert.deepEqual([state.claims.digits[0], state.entry], [16, ""]);
  state = play(state, figure(0), figure(0));
  assert.equal(state.claims.digits[0], 10);
  state = play(state, figure(0), figure(7));
  assert.equal(state.claims.digits[0], 10, "17 is no digit of this grid");
});

test("a cell is said with all that is seen in it", () => {
  const givens = none.slice();
  givens[1] = 5;
  let state = play(fresh({ givens }), at("r1c1"), pen("options"), figure(2), figure(4), (s) => transitions.trait(s, "even"));
  state = play(state, pen("tie"), at("r1c1", "r2c1"), figure(2), pen("tint"), at("r1c1"), figure(6));
  state = { ...state, breaks: [1], marks: [{ group: "a", cells: [1], role: "result" }] };
  assert.equal(describe(state, 0), "row 1, column 1, empty, options 2 and 4, even, tie of 2, tint 6");
  assert.equal(describe(state, 1), "row 1, column 2, given 5, result, group a, breaks a rule");
  assert.equal(describe(state, 80), "row 9, column 9, empty");
});

test("every deed is told in words", () => {
  assert.equal(told([{ do: "place", cell: "r3c4", digit: 7 }], 9), "7 in row 3, column 4");
  assert.equal(told([{ do: "sum", cells: ["r1c1", "r1c2"], total: 9 }], 9), "Sum 9 in 2 cells");
  for (const name of ["undo", "redo"]) assert.ok(told([{ do: name }], 9));
  assert.equal(told([], 9), "");
});

test("no key does two things, and every key can be printed", () => {
  const names = KEYS.flatMap((key) => key.keys);
  assert.equal(new Set(names).size, names.length);
  for (const name of names) assert.ok(printedKey(name).trim());
  assert.equal(printedKey("ctrl+shift+z"), "Ctrl + Shift + Z");
  assert.equal(printedKey("shift+ "), "Shift + Space");
});

test("a pressed key is named as the table names it", () => {
  const key = (more) => pressed({ ctrlKey: false, metaKey: false, shiftKey: false, ...more });
  assert.equal(key({ key: "Z", ctrlKey: true, shiftKey: true }), "ctrl+shift+z");
  assert.equal(key({ key: "?", shiftKey: true }), "?");
  assert.equal(key({ key: "O", shiftKey: true }), "o");
  assert.equal(key({ key: "ArrowUp", metaKey: true }), "ctrl+arrowup");
  assert.equal(key({ key: " ", shiftKey: true }), "shift+ ");
});
