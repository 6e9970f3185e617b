/** Drawing without a page: what a gesture makes of a draft. */

import assert from "node:assert/strict";
import test from "node:test";

import { fieldOf, shortCells } from "../../../src/saywhy/desk/static/draw/clue_list.js";
import * as edits from "../../../src/saywhy/desk/static/draw/draft.js";
import { border, corner, onward, places } from "../../../src/saywhy/desk/static/draw/gestures.js";
import { NOTHING, gone, left, stepped } from "../../../src/saywhy/desk/static/draw/past.js";
import * as tools from "../../../src/saywhy/desk/static/draw/tools.js";

const empty = { title: "", setter: "", size: 9, givens: new Array(81).fill(0), regions: null, latin: false, rules: [], all_given: [], clues: [] };
const rule = (name, form, fewest = 1) => ({ name, title: name, form, takes: [], needs: [], fewest, how: "", meaning: "" });
const cells = (draft) => draft?.clues.map((clue) => (clue.cells ?? []).join(" "));

test("a line is drawn by pointer or by Enter, in its order", () => {
  const line = rule("double-arrow", "line", 3);
  assert.deepEqual(cells(tools.drawn(empty, line, [2, 1, 10])), ["r1c3 r1c2 r2c2"]);
  assert.equal(tools.drawn(empty, line, [2, 1]), null, "too short for this rule");
  assert.deepEqual(cells(tools.entered(empty, line, [2, 1, 10])), ["r1c3 r1c2 r2c2"]);
});

test("an area waits for Enter, and the same cells again take it out", () => {
  const cage = rule("killer-cage", "area");
  assert.equal(tools.drawn(empty, cage, [0, 1]), null);
  const once = tools.entered(empty, cage, [1, 0]);
  assert.deepEqual(cells(once), ["r1c1 r1c2"]);
  assert.deepEqual(cells(tools.entered(once, cage, [0, 1])), []);
});

test("a border is pressed near a side, from the cell that comes first", () => {
  assert.deepEqual(border(0, [0.9, 0.5], 9), [0, 1]);
  assert.deepEqual(border(1, [0.1, 0.5], 9), [0, 1]);
  assert.deepEqual(border(0, [0.5, 0.95], 9), [0, 9]);
  assert.equal(border(0, [0.02, 0.5], 9), null, "the edge of the grid");
  assert.equal(border(40, [0.5, 0.5], 9), null);
  const less = rule("less-than", "pair");
  const once = tools.pressed(empty, less, 1, [0.1, 0.5]);
  assert.deepEqual(cells(once), ["r1c2 r1c1"]);
  assert.deepEqual(cells(tools.pressed(once, less, 0, [0.9, 0.5])), ["r1c1 r1c2"], "from the other side it turns");
  const dot = rule("white-dot", "pair");
  assert.deepEqual(cells(tools.pressed(tools.pressed(empty, dot, 0, [0.9, 0.5]), dot, 1, [0.1, 0.5])), []);
});

test("a corner is pressed, and the corners of the grid are none", () => {
  assert.deepEqual(corner(0, [0.95, 0.95], 9), [0, 1, 9, 10]);
  assert.deepEqual(corner(10, [0.1, 0.1], 9), [0, 1, 9, 10]);
  assert.equal(corner(0, [0.05, 0.05], 9), null);
  assert.equal(corner(40, [0.5, 0.5], 9), null);
});

test("two cells with Enter are a border only where they share a side", () => {
  const dot = rule("white-dot", "pair");
  assert.deepEqual(cells(tools.entered(empty, dot, [0, 9])), ["r1c1 r2c1"]);
  assert.equal(tools.entered(empty, dot, [0, 10]), null);
  assert.equal(tools.entered(empty, dot, [8, 9]), null, "the end of a row is not beside the next one's beginning");
});

test("places beside the grid look along every row, column and diagonal from both ends", () => {
  for (const size of [4, 9, 16]) {
    const straight = places(size, false);
    assert.equal(straight.length, 4 * size);
    assert.ok(straight.every((place) => place.cells.length === size));
    const slanted = places(size, true);
    assert.equal(new Set(slanted.map((place) => place.cells.join())).size, slanted.length);
    // Two directions of slant, 2n - 1 diagonals each, from both ends; less the four of one cell in the corners.
    assert.equal(slanted.length, 2 * 2 * (2 * size - 1) - 8);
    assert.ok(slanted.every((place) => place.cells.length > 1));
  }
});

test("a clue from the other end of a row is another clue", () => {
  const sandwich = rule("sandwich", "outside");
  const row = [0, 1, 2, 3, 4, 5, 6, 7, 8];
  const once = tools.toggled(empty, sandwich, row);
  const both = tools.toggled(once, sandwich, [...row].reverse());
  assert.equal(both.clues.length, 2);
  assert.equal(tools.toggled(both, sandwich, row).clues.length, 1);
});

test("givens, regions and sizes", () => {
  const once = edits.given(empty, [0, 1], 7);
  assert.deepEqual(once.givens.slice(0, 3), [7, 7, 0]);
  assert.deepEqual(edits.given(once, [0, 1], 7).givens.slice(0, 2), [0, 0]);
  assert.deepEqual(empty.givens.slice(0, 2), [0, 0], "the draft before is untouched");
  assert.equal(edits.sized(empty, 7).latin, true);
  assert.equal(edits.sized(empty, 6).givens.length, 36);
  assert.deepEqual(edits.usual(4), [0, 0, 1, 1, 0, 0, 1, 1, 2, 2, 3, 3, 2, 2, 3, 3]);
  const own = edits.painted(edits.regioned(empty, "own"), [80], 0);
  assert.equal(own.regions?.[80], 0);
  assert.equal(edits.regionsOf(own), "own");
  assert.equal(edits.regionsOf(edits.regioned(own, "none")), "none");
});

test("fields are numbers or nothing", () => {
  assert.deepEqual(fieldOf("value", " 15 "), { value: 15 });
  assert.deepEqual(fieldOf("value", "fifteen"), { value: null });
  assert.deepEqual(fieldOf("digits", "1 2 2"), { digits: [1, 2, 2] });
  assert.deepEqual(fieldOf("digits", "122"), { digits: [1, 2, 2] });
  assert.deepEqual(fieldOf("digits", "10 12"), { digits: [10, 12] });
});

test("a long list of cells is told by its ends", () => {
  assert.equal(shortCells({ rule: "x", cells: ["r1c1", "r1c2"] }), "r1c1 r1c2");
  assert.equal(shortCells({ rule: "x", cells: ["r1c1", "r1c2", "r1c3", "r1c4", "r1c5"] }), "r1c1 … r1c5, 5 cells");
});

test("from a place beside the grid an arrow leads to the nearest that way", () => {
  const held = places(9, false);
  const named = (label) => held.findIndex((place) => place.label === label);
  const from = (label, key) => held[onward(held, named(label), key)]?.label;
  assert.equal(from("column 3 from above", "ArrowRight"), "column 4 from above");
  assert.equal(from("row 2 from the left", "ArrowDown"), "row 3 from the left");
  assert.equal(from("row 1 from the left", "ArrowUp"), "column 1 from above");
  assert.equal(from("column 9 from above", "ArrowRight"), "row 1 from the right");
  assert.equal(from("column 3 from above", "ArrowDown"), "column 3 from below");
  assert.equal(from("column 3 from above", "ArrowUp"), undefined);
  assert.equal(from("column 3 from above", "x"), undefined);
  for (const diagonal of [false, true]) {
    const all = places(9, diagonal);
    const reached = new Set([0]);
    for (const place of reached) for (const key of ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]) if (onward(all, place, key) >= 0) reached.add(onward(all, place, key));
    assert.equal(reached.size, all.length, "every place can be reached");
  }
});

test("what is typed into one field is one step of undo, and rubbed out again it is none", () => {
  const titled = (title) => ({ ...empty, title });
  let past = stepped(NOTHING, empty, titled("H"), "title");
  past = stepped(past, titled("H"), titled("Ha"), "title");
  assert.deepEqual(gone(past, titled("Ha"), "undo")?.draft, empty);
  const none = stepped(past, titled("Ha"), titled(""), "title");
  assert.equal(gone(none, empty, "undo"), null);
  // Another field, the same one after it was left, and what is done on the board are steps of their own.
  for (const next of [stepped(past, titled("Ha"), titled("b"), "setter"), stepped(left(past), titled("Ha"), titled("b"), "title"), stepped(past, titled("Ha"), titled("b"))]) {
    assert.equal(gone(next, titled("b"), "undo")?.draft.title, "Ha");
  }
});

test("what was taken back comes again, until something else is done", () => {
  const [one, two] = [edits.given(empty, [0], 1), edits.given(empty, [0], 2)];
  const back = gone(stepped(NOTHING, empty, one), one, "undo");
  assert.deepEqual(back?.draft, empty);
  assert.deepEqual(gone(back.past, empty, "redo")?.draft, one);
  assert.equal(gone(stepped(back.past, empty, two), two, "redo"), null);
  let past = NOTHING;
  for (let k = 0; k < 600; k += 1) past = stepped(past, one, two);
  assert.equal(past.before.length, 500);
});
