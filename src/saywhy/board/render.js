/**
 * The only writer of the board's part of the page: one picture with its layers, and over it an HTML grid
 * of cells that screen readers, the keyboard and pointers meet.
 */

import { breaks } from "#app/board/layers/breaks.js";
import { digits } from "#app/board/layers/digits.js";
import { focus } from "#app/board/layers/focus.js";
import { grounds } from "#app/board/layers/grounds.js";
import { marks } from "#app/board/layers/marks.js";
import { options } from "#app/board/layers/options.js";
import { selection } from "#app/board/layers/selection.js";
import { sums } from "#app/board/layers/sums.js";
import { ties } from "#app/board/layers/ties.js";
import { tints } from "#app/board/layers/tints.js";
import { describe } from "#app/board/speech.js";
import { geometry, svg } from "#app/board/svg.js";

/** @typedef {import("#app/board/types.js").State} State */

/**
 * Build the board in a host element.
 * @param {HTMLElement} host emptied first
 * @param {import("#app/board/types.js").Frame} frame
 * @param {Element | null} printed the printed picture: an svg whose grid begins at 0, 0
 * @param {string} label what the grid is called
 */
export function renderer(host, frame, printed, label) {
  const at = geometry(frame);
  host.replaceChildren();
  host.classList.add("board", "saywhy-board");
  host.style.setProperty("--board-aspect", String(at.width / at.height));
  const picture = svg(host, "svg", {
    viewBox: [at.left, at.top, at.width, at.height].map((side) => Math.round(side * 100) / 100).join(" "),
    "aria-hidden": "true",
    class: "board-picture",
  });
  svg(picture, "rect", { x: 0, y: 0, width: at.size * at.unit, height: at.size * at.unit, class: "board-sheet" });
  const layer = (/** @type {string} */ name) => svg(picture, "g", { class: `layer-${name}` });
  const washes = layer("washes");
  const updates = [tints(layer("tints"), at), selection(layer("selection"), at)];
  // The focus lies under the print, so that it hides no clue on the border of its cell.
  updates.push(focus(layer("focus"), at));
  const print = layer("printed");
  const ink = (/** @type {Element | null} */ made) =>
    print.replaceChildren(...(made ? document.importNode(made, true).childNodes : []));
  ink(printed);
  updates.push(sums(layer("sums"), at), ties(layer("ties"), at), options(layer("options"), at));
  const written = layer("digits");
  updates.push(digits(written, at), grounds(print, written));
  updates.push(marks(washes, layer("marks"), at), breaks(layer("breaks"), at));
  const overlay = layer("overlay");
  const { grid, cells } = cellGrid(host, frame.size, label, at);
  const voice = document.createElement("p");
  voice.className = "board-voice";
  voice.setAttribute("role", "status");
  host.append(voice);

  return {
    grid,
    cells,
    overlay,
    /** Put another printed picture in place of this one, laid out alike. */
    ink,
    /** Show a state. @param {State} state @param {State | null} before the state shown now */
    show(state, before) {
      for (const update of updates) update(state, before);
      refreshLabels(cells, state, before);
      if (before?.focus !== state.focus) {
        cells[before?.focus ?? 0]?.setAttribute("tabindex", "-1");
        const next = cells[state.focus];
        next?.setAttribute("tabindex", "0");
        if (grid.contains(document.activeElement)) next?.focus({ preventScroll: true });
      }
    },
    /** Say a sentence to screen readers. @param {string} sentence */
    say(sentence) {
      voice.textContent = sentence;
    },
  };
}

/** Bring spoken labels and the state of selection up to date. @param {HTMLElement[]} cells @param {State} state @param {State | null} before */
function refreshLabels(cells, state, before) {
  const changed = !before || before.claims !== state.claims || before.marks !== state.marks || before.breaks !== state.breaks || before.givens !== state.givens;
  const held = before?.selection === state.selection ? null : new Set(state.selection);
  cells.forEach((node, cell) => {
    if (changed) {
      const words = describe(state, cell);
      if (node.getAttribute("aria-label") !== words) node.setAttribute("aria-label", words);
    }
    if (held) {
      const is = String(held.has(cell));
      if (node.getAttribute("aria-selected") !== is) node.setAttribute("aria-selected", is);
    }
  });
}

/**
 * Build the grid that people meet: rows of cells, one of which the Tab key reaches.
 * @param {HTMLElement} host @param {number} size @param {string} label @param {import("#app/board/svg.js").Geometry} at
 */
function cellGrid(host, size, label, at) {
  const grid = document.createElement("div");
  grid.className = "board-cells";
  grid.setAttribute("role", "grid");
  grid.setAttribute("aria-label", label);
  grid.setAttribute("aria-multiselectable", "true");
  grid.setAttribute("aria-rowcount", String(size));
  grid.setAttribute("aria-colcount", String(size));
  const share = (/** @type {number} */ part, /** @type {number} */ whole) => `${(100 * part) / whole}%`;
  grid.style.left = share(-at.left, at.width);
  grid.style.top = share(-at.top, at.height);
  grid.style.width = share(size * at.unit, at.width);
  grid.style.height = share(size * at.unit, at.height);
  grid.style.gridTemplate = `repeat(${size}, 1fr) / repeat(${size}, 1fr)`;
  /** @type {HTMLElement[]} */
  const cells = [];
  for (let row = 0; row < size; row += 1) {
    const line = document.createElement("div");
    line.setAttribute("role", "row");
    line.setAttribute("aria-rowindex", String(row + 1));
    for (let column = 0; column < size; column += 1) {
      const cell = document.createElement("div");
      cell.setAttribute("role", "gridcell");
      cell.setAttribute("aria-colindex", String(column + 1));
      cell.setAttribute("aria-selected", "false");
      cell.tabIndex = cells.length ? -1 : 0;
      cell.dataset.cell = String(cells.length);
      line.append(cell);
      cells.push(cell);
    }
    grid.append(line);
  }
  host.append(grid);
  return { grid, cells };
}
