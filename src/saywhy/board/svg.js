/** Small functions that make SVG elements and paths. Colours come from classes alone. */

const SVG = "http://www.w3.org/2000/svg";

/** Half the height of the figures of the shipped sans, for type of size 1: what centres a digit. */
export const FIGURE = 0.742;

/**
 * Make an element and hang it in.
 * @param {Element | null} parent @param {string} name @param {Record<string, string | number>} [attributes]
 */
export function svg(parent, name, attributes = {}) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  parent?.append(made);
  return made;
}

/**
 * Write text with the middle of its figures at a point.
 * @param {Element} parent @param {number} x @param {number} y @param {string | number} words
 * @param {number} height height of the figures @param {string} name class
 */
export function figures(parent, x, y, words, height, name) {
  const size = height / FIGURE;
  const made = svg(parent, "text", { x, y, dy: height / 2, "font-size": size, "text-anchor": "middle", class: name });
  made.textContent = String(words);
  return made;
}

/**
 * Where things lie on the page; the grid's upper left corner is at 0, 0.
 * @param {import("#app/board/types.js").Frame} frame
 */
export function geometry({ size, unit, margins }) {
  const pad = 0.06 * unit;
  return {
    size,
    unit,
    /** Upper left corner of a cell. @param {number} cell */
    corner: (cell) => /** @type {[number, number]} */ ([(cell % size) * unit, Math.floor(cell / size) * unit]),
    /** Centre of a cell. @param {number} cell */
    centre: (cell) =>
      /** @type {[number, number]} */ ([((cell % size) + 0.5) * unit, (Math.floor(cell / size) + 0.5) * unit]),
    left: -margins.left * unit - pad,
    top: -margins.above * unit - pad,
    width: (size + margins.left + margins.right) * unit + 2 * pad,
    height: (size + margins.above + margins.below) * unit + 2 * pad,
  };
}

/** @typedef {ReturnType<typeof geometry>} Geometry */

/** @param {number} value */
const short = (value) => Math.round(value * 100) / 100;

/** Give path data through points. @param {readonly (readonly [number, number])[]} points @param {boolean} [closed] */
export const through = (points, closed = false) =>
  points.map(([x, y], k) => `${k ? "L" : "M"}${short(x)} ${short(y)}`).join("") + (closed ? "Z" : "");

/**
 * Give path data around a set of cells, some way inside their edges.
 * @param {readonly number[]} cells @param {number} inset in cell widths @param {Geometry} at
 */
export function outline(cells, inset, at) {
  const held = new Set(cells);
  const { size, unit } = at;
  /** Edges by their first corner, the set on the right hand. @type {Map<string, [number, number][]>} */
  const leaving = new Map();
  const edge = (/** @type {number} */ row, /** @type {number} */ column, /** @type {[number, number]} */ way) => {
    const key = `${row},${column}`;
    leaving.set(key, [...(leaving.get(key) ?? []), way]);
  };
  for (const cell of held) {
    const row = Math.floor(cell / size);
    const column = cell % size;
    if (!held.has(cell - size)) edge(row, column, [0, 1]);
    if (column === size - 1 || !held.has(cell + 1)) edge(row, column + 1, [1, 0]);
    if (!held.has(cell + size)) edge(row + 1, column + 1, [0, -1]);
    if (column === 0 || !held.has(cell - 1)) edge(row + 1, column, [-1, 0]);
  }
  let data = "";
  for (const [key, ways] of leaving) {
    while (ways.length) data += loop(key, leaving, inset, unit);
  }
  return data;
}

/**
 * Follow edges from a corner until none is left, and give the loop as path data.
 * @param {string} start @param {Map<string, [number, number][]>} leaving @param {number} inset @param {number} unit
 */
function loop(start, leaving, inset, unit) {
  /** @type {[number, number][]} */
  const points = [];
  let [row, column] = start.split(",").map(Number);
  const first = leaving.get(start)?.[0];
  let way = first;
  while (way && row !== undefined && column !== undefined) {
    const ways = leaving.get(`${row},${column}`) ?? [];
    ways.splice(ways.indexOf(way), 1);
    row += way[0];
    column += way[1];
    const onward = leaving.get(`${row},${column}`) ?? [];
    // Where two ways lead on, the right turn stays with the same cell.
    const right = onward.find((next) => next[0] === way?.[1] && next[1] === -(way?.[0] ?? 0));
    const next = right ?? onward.find((other) => other[0] !== -(way?.[0] ?? 0) || other[1] !== -(way?.[1] ?? 0));
    const goes = next ?? first;
    if (goes && (goes[0] !== way[0] || goes[1] !== way[1])) {
      points.push([(column - (way[0] + goes[0]) * inset) * unit, (row + (way[1] + goes[1]) * inset) * unit]);
    }
    way = next;
  }
  return through(points, true);
}
