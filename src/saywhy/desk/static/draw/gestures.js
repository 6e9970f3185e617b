/** What cells a gesture means for a rule's form: pure geometry of the grid. */

/**
 * Give the two cells of the border nearest to a spot, null if the spot is too far inside.
 * @param {number} cell @param {readonly [number, number]} spot 0 to 1 across and down @param {number} size
 * @returns {[number, number] | null}
 */
export function border(cell, [x, y], size) {
  const near = 0.28;
  const row = Math.floor(cell / size);
  const column = cell % size;
  /** @type {[number, number, boolean][]} */
  const sides = [
    [x, cell - 1, column > 0],
    [1 - x, cell + 1, column < size - 1],
    [y, cell - size, row > 0],
    [1 - y, cell + size, row < size - 1],
  ];
  const [way, other, is] = sides.reduce((best, side) => (side[0] < best[0] ? side : best));
  return way < near && is ? [Math.min(cell, other), Math.max(cell, other)] : null;
}

/**
 * Give the four cells around the corner nearest to a spot, null if it is at the edge of the grid or too far.
 * @param {number} cell @param {readonly [number, number]} spot @param {number} size
 */
export function corner(cell, [x, y], size) {
  if (Math.hypot(x - Math.round(x), y - Math.round(y)) > 0.42) return null;
  const row = Math.floor(cell / size) + Math.round(y);
  const column = (cell % size) + Math.round(x);
  if (row < 1 || column < 1 || row >= size || column >= size) return null;
  const first = (row - 1) * size + column - 1;
  return [first, first + 1, first + size, first + size + 1];
}

/** Say whether two cells share a side. @param {number} a @param {number} b @param {number} size */
export const beside = (a, b, size) =>
  Math.abs(Math.floor(a / size) - Math.floor(b / size)) + Math.abs((a % size) - (b % size)) === 1;

/**
 * A place beside the grid from which a clue looks in.
 * @typedef {{cells: number[], x: number, y: number, sign: string, label: string}} Place `sign`: which way it looks
 */

/**
 * Give the places beside the grid: where they stand, in cells from the grid's corner, and what they look along.
 * @param {number} size @param {boolean} diagonal @returns {Place[]}
 */
export function places(size, diagonal) {
  /** @type {Place[]} */
  const found = [];
  const last = size - 1;
  const ray = (/** @type {number} */ row, /** @type {number} */ column, /** @type {number} */ down, /** @type {number} */ right) => {
    const cells = [];
    for (let [r, c] = [row, column]; r >= 0 && c >= 0 && r < size && c < size; r += down, c += right) cells.push(r * size + c);
    return cells;
  };
  const off = 0.42;
  for (let k = 0; k < size; k += 1) {
    if (!diagonal) {
      found.push({ cells: ray(k, 0, 0, 1), x: -off, y: k + 0.5, sign: "+", label: `row ${k + 1} from the left` });
      found.push({ cells: ray(k, last, 0, -1), x: size + off, y: k + 0.5, sign: "+", label: `row ${k + 1} from the right` });
      found.push({ cells: ray(0, k, 1, 0), x: k + 0.5, y: -off, sign: "+", label: `column ${k + 1} from above` });
      found.push({ cells: ray(last, k, -1, 0), x: k + 0.5, y: size + off, sign: "+", label: `column ${k + 1} from below` });
      continue;
    }
    // Each side looks in two ways, each with a rank of its own, so that no two places lie on one another.
    const side = `r${k + 1}`;
    const [near, far] = [0.45, 1.25];
    if (k < last) found.push({ cells: ray(0, k, 1, 1), x: k - 0.25, y: -near, sign: "↘", label: `from above at c${k + 1}, down to the right` });
    if (k > 0) found.push({ cells: ray(0, k, 1, -1), x: k + 1.25, y: -far, sign: "↙", label: `from above at c${k + 1}, down to the left` });
    if (k < last) found.push({ cells: ray(last, k, -1, 1), x: k - 0.25, y: size + near, sign: "↗", label: `from below at c${k + 1}, up to the right` });
    if (k > 0) found.push({ cells: ray(last, k, -1, -1), x: k + 1.25, y: size + far, sign: "↖", label: `from below at c${k + 1}, up to the left` });
    if (k > 0 && k < last) {
      found.push({ cells: ray(k, 0, 1, 1), x: -near, y: k - 0.25, sign: "↘", label: `from the left at ${side}, down to the right` });
      found.push({ cells: ray(k, 0, -1, 1), x: -far, y: k + 1.25, sign: "↗", label: `from the left at ${side}, up to the right` });
      found.push({ cells: ray(k, last, 1, -1), x: size + near, y: k - 0.25, sign: "↙", label: `from the right at ${side}, down to the left` });
      found.push({ cells: ray(k, last, -1, -1), x: size + far, y: k + 1.25, sign: "↖", label: `from the right at ${side}, up to the left` });
    }
  }
  return found;
}

/** @type {Record<string, [number, number]>} */
const WAYS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

/**
 * Give the place that an arrow key leads to: the nearest that way, what lies straight on first; -1 where there is none.
 * @param {readonly Place[]} held @param {number} from @param {string} key of KeyboardEvent.key
 */
export function onward(held, from, key) {
  const [right, down] = WAYS[key] ?? [0, 0];
  const here = held[from];
  if (!here) return -1;
  let [best, least] = [-1, Infinity];
  held.forEach(({ x, y }, number) => {
    const on = (x - here.x) * right + (y - here.y) * down;
    const aside = Math.abs((x - here.x) * down) + Math.abs((y - here.y) * right);
    if (on > 0.01 && on + 8 * aside < least) [best, least] = [number, on + 8 * aside];
  });
  return best;
}
