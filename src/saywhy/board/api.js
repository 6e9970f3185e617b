/**
 * The board's only public face.
 *
 * A page makes a board in an element, gives it facts (the printed picture, a recording, marks) and hears
 * intents (what was written, which further key was pressed). The board knows no rule of any puzzle.
 */

import { sameCells } from "#app/board/cells.js";
import { takeAll } from "#app/board/history.js";
import { bindKeyboard } from "#app/board/input/keyboard.js";
import { bindPointer } from "#app/board/input/pointer.js";
import { renderer } from "#app/board/render.js";
import { told as inWords } from "#app/board/speech.js";
import { initial } from "#app/board/state.js";
import * as transitions from "#app/board/transitions.js";

/** @typedef {import("#app/board/types.js").State} State */
/** @typedef {import("#app/board/types.js").Act} Act */
/** @typedef {import("#app/board/types.js").Deed} Deed */

/**
 * What is printed: givens and everything else that is not the solver's.
 * @typedef {object} Printed
 * @property {number} size
 * @property {readonly [number, number] | null} box
 * @property {readonly number[]} givens
 * @property {readonly number[]} halos
 * @property {number} unit
 * @property {{above: number, right: number, below: number, left: number}} margins
 * @property {Element | null} picture an svg whose grid begins at 0, 0
 */

/**
 * @typedef {object} Wiring
 * @property {string} label what the grid is called
 * @property {boolean} [locked] whether nothing may be written
 * @property {readonly import("#app/board/keys.js").Key[]} [keys] further keys, which the page hears of
 * @property {() => number} [clock] seconds, for the times of acts
 * @property {(acts: Act[]) => void} [wrote] something was written, undone or redone
 * @property {(state: State, before: State) => void} [changed] anything changed
 * @property {(wish: string) => void} [wished] one of the further keys was pressed
 * @property {(cell: number, spot: [number, number]) => boolean} [pressed] a pointer went down; true: the page
 *   has dealt with it
 * @property {() => void} [drawn] a pointer came up again
 * @property {(digit: number) => void} [typed] digits go to the page instead of becoming claims; 0 erases
 * @property {(id: string) => boolean} [intercept] hears keys first; true: the page has dealt with it
 */

/** @param {HTMLElement} host @param {Printed} printed @param {Wiring} wiring */
export function createBoard(host, printed, wiring) {
  const began = performance.now();
  const clock = wiring.clock ?? (() => (performance.now() - began) / 1000);
  let state = initial({ ...printed, locked: wiring.locked ?? false });
  let last = 0;
  /** @type {ReturnType<typeof renderer>} */
  let view;
  /** @type {(() => void)[]} */
  let unbind = [];

  /** @param {State} next */
  const show = (next) => {
    const before = state;
    state = next;
    view.show(state, before);
    if (before !== state) wiring.changed?.(state, before);
  };

  /** Write deeds at one time. @param {Deed[]} deeds @param {State} [from] */
  const write = (deeds, from = state) => {
    if (!deeds.length) return show(from);
    last = Math.max(Math.round(clock() * 1000) / 1000, Math.round(last * 1000 + 1) / 1000);
    const acts = deeds.map((deed) => ({ t: last, ...deed }));
    show({ ...takeAll(from, acts), breaks: from.breaks.length ? [] : from.breaks });
    view.say(inWords(deeds, state.size));
    wiring.wrote?.(acts);
  };

  /** @param {string} id */
  const press = (id) => {
    if (wiring.intercept?.(id)) return undefined;
    const [verb, what = "", more = ""] = id.split("-");
    const { step, size } = state;
    const ways = { up: [-1, 0], down: [1, 0], left: [0, -1], right: [0, 1] };
    const way = ways[/** @type {keyof typeof ways} */ (what)];
    switch (verb) {
      case "go":
        if (way) return show(transitions.go(state, way[0] ?? 0, way[1] ?? 0));
        if (what === "row") return show(transitions.go(state, 0, more === "start" ? -size : size));
        if (what === "page") return show(transitions.go(state, more === "up" ? -step[0] : step[0], 0));
        return show(transitions.go(state, what === "first" ? -size : size, what === "first" ? -size : size));
      case "more":
      case "only":
        return way && show(transitions.go(state, way[0] ?? 0, way[1] ?? 0, verb === "more" ? "extend" : "only"));
      case "toggle":
        return show(transitions.toggle(state, state.focus));
      case "sweep":
        return show(transitions.sweep(state, /** @type {"row"} */ (what)));
      case "pen":
        return show(transitions.takePen(state, what === "other" ? state.otherPen : /** @type {"tie"} */ (what)));
      case "trait":
        return write(transitions.trait(state, /** @type {"low"} */ (what)));
      case "enter":
        return write(transitions.sum(state), { ...state, entry: "" });
      case "erase":
        return state.entry ? show(transitions.shorten(state)) : write(transitions.erase(state));
      case "undo":
      case "redo":
        return write(transitions.back(state, verb));
      default:
        return wiring.wished?.(id);
    }
  };

  /** @param {number} figure */
  const figure = (figure) => {
    if (wiring.typed) {
      if (state.size > 9 && figure === 0 && state.entry === "") return show({ ...state, entry: "0" });
      const digit = figure + (state.entry === "0" ? 10 : 0);
      show({ ...state, entry: "" });
      return digit <= state.size ? wiring.typed(digit) : undefined;
    }
    const next = transitions.figure(state, figure);
    write(next.deeds, next.state);
  };

  let drawing = false;
  const pointing = {
    /** @param {number} cell @param {boolean} more @param {[number, number]} spot */
    down(cell, more, spot) {
      pointed = true;
      view.cells[cell]?.focus({ preventScroll: true });
      pointed = false;
      drawing = !wiring.pressed?.(cell, spot);
      if (drawing) show(more || adding ? transitions.toggle(state, cell) : transitions.select(state, cell));
    },
    /** @param {number} cell */
    over(cell) {
      if (!drawing || cell === state.focus) return;
      const back = state.selection.at(-2) === cell && state.selection.at(-1) === state.focus;
      show(back ? { ...state, selection: state.selection.slice(0, -1), focus: cell } : transitions.extend(state, cell));
    },
    up() {
      if (drawing) wiring.drawn?.();
      drawing = false;
    },
  };
  let adding = false;
  let pointed = false;

  /** A cell got the keyboard some other way, as from a screen reader: it becomes the one that keys go to. @param {FocusEvent} event */
  const focused = (event) => {
    const cell = event.target instanceof HTMLElement ? Number(event.target.dataset.cell ?? -1) : -1;
    if (!pointed && cell >= 0 && cell !== state.focus) show(transitions.select(state, cell));
  };

  /** Whether another picture fits where this one is. @param {Printed} one @param {Printed} other */
  const laidAlike = (one, other) =>
    one.size === other.size && one.unit === other.unit && JSON.stringify(one.margins) === JSON.stringify(other.margins);

  /** @param {Printed} next */
  const build = (next) => {
    for (const undo of unbind) undo();
    const { size, unit, margins } = next;
    const held = view?.grid.contains(document.activeElement);
    view = renderer(host, { size, unit, margins }, next.picture, wiring.label);
    unbind = [
      bindKeyboard(view.grid, wiring.keys ?? [], { figure, press }),
      bindPointer(view.grid, size, pointing),
    ];
    view.grid.addEventListener("focusin", focused);
    view.show(state, null);
    if (held) view.cells[state.focus]?.focus({ preventScroll: true });
  };
  build(printed);

  return {
    /** The state as it is now. */
    get state() {
      return state;
    },
    /** The layer on which a page may draw what is not yet printed; units are those of the printed picture. */
    get overlay() {
      return view.overlay;
    },
    /** Show another printed picture; of another size, the claims are gone. @param {Printed} next */
    print(next) {
      const kept = next.size === state.size ? state : initial({ ...next, locked: state.locked });
      const before = state;
      const alike = laidAlike(printed, next);
      state = { ...kept, givens: next.givens, halos: next.halos };
      printed = next;
      // Laid out alike, the cells stay: a stroke that is being drawn goes on.
      if (!alike) return build(next);
      view.ink(next.picture);
      return view.show(state, before);
    },
    /** Begin again with the lines of a recording. @param {readonly Act[]} acts */
    load(acts) {
      const { givens, halos, size, step, locked, marks } = state;
      const empty = { ...initial({ size, givens, halos, locked }), step, marks };
      last = acts.at(-1)?.t ?? 0;
      show({ ...takeAll(empty, acts), focus: state.focus });
    },
    /** Light up the groups that a sentence points at. @param {readonly import("#app/board/types.js").Mark[]} marks */
    light(marks) {
      show({ ...state, marks });
    },
    /** Show digits and options that nobody wrote. @param {Partial<import("#app/board/types.js").Claims>} claims */
    pose(claims) {
      show({ ...state, claims: { ...state.claims, ...claims }, past: [], future: [] });
    },
    /** Show cells as breaking a rule. @param {readonly number[]} cells */
    showBreaks(cells) {
      show({ ...state, breaks: cells });
    },
    /** Select these cells. @param {readonly number[]} cells */
    select(cells) {
      if (!sameCells(cells, state.selection)) show(transitions.selectAll(state, cells));
    },
    /** Allow writing, or not. @param {boolean} locked */
    lock(locked) {
      show({ ...state, locked });
    },
    /** Let presses add to the selection, for touch. @param {boolean} on */
    addMore(on) {
      adding = on;
    },
    /** Do what a key does, by its name in KEYS. */
    press,
    /** Write a whole digit with the pen in hand. @param {number} digit */
    digit(digit) {
      if (state.pen === "sum" || state.pen === "tint") figure(digit);
      else write(transitions.digitDeeds(state, digit));
    },
    /** Give the keyboard to the board. */
    focus() {
      view.cells[state.focus]?.focus({ preventScroll: true });
    },
    /** Say a sentence to screen readers. @param {string} sentence */
    say(sentence) {
      view.say(sentence);
    },
    /** Take the board away. */
    destroy() {
      for (const undo of unbind) undo();
      host.replaceChildren();
    },
  };
}

/** @typedef {ReturnType<typeof createBoard>} Board */
