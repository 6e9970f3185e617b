/** Outlines of cells, against their area by counting and their length by edges. */

import assert from "node:assert/strict";
import test from "node:test";

import { geometry, outline } from "../../../src/saywhy/board/svg.js";

const at = geometry({ size: 5, unit: 1, margins: { above: 0, right: 0, below: 0, left: 0 } });

/** Loops of points of a path that has straight strokes alone. */
const loops = (data) =>
  data
    .split("Z")
    .filter(Boolean)
    .map((part) => [...part.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((found) => [Number(found[1]), Number(found[2])]));

/** Twice the signed area within a loop (the shoelace formula). */
const area = (points) =>
  points.reduce((sum, [x, y], k) => {
    const [nx, ny] = points[(k + 1) % points.length];
    return sum + x * ny - nx * y;
  }, 0) / 2;

test("an outline holds as much as its cells, holes taken out", () => {
  const sets = [[0], [0, 1, 5], [0, 6], [6, 7, 8, 11, 13, 16, 17, 18], [0, 2, 4, 12, 20, 22, 24], [...Array(25).keys()]];
  for (const cells of sets) {
    const total = loops(outline(cells, 0, at)).map(area).reduce((a, b) => a + b, 0);
    assert.ok(Math.abs(Math.abs(total) - cells.length) < 1e-9, `${cells}: ${total}`);
  }
});

test("an inset outline lies inside", () => {
  const [points] = loops(outline([6, 7], 0.1, at));
  assert.deepEqual(points.map(([x, y]) => [x, y].join()).sort(), ["1.1,1.1", "1.1,1.9", "2.9,1.1", "2.9,1.9"].sort());
});

test("cells that meet at a corner alone are parted", () => {
  assert.equal(loops(outline([0, 6], 0.1, at)).length, 2);
});
