/** The pen tray: everything that keys do on the board, for a pointer or a finger. */

import { TINTS, TRAITS } from "#app/board/cells.js";
import { KEYS, printedKey } from "#app/board/keys.js";
import { PEN_NAMES } from "#app/board/speech.js";
import { word } from "#app/board/words.js";

/** @typedef {import("#app/board/types.js").State} State */

/** @param {string} text @param {() => void} act @param {string} [key] @param {string} [label] */
function press(text, act, key, label) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  if (label) made.setAttribute("aria-label", label);
  const printed = KEYS.find((held) => held.id === key)?.keys[0];
  if (printed) {
    const cap = document.createElement("kbd");
    cap.textContent = printedKey(printed);
    cap.setAttribute("aria-hidden", "true");
    made.append(cap);
  }
  made.addEventListener("click", act);
  return made;
}

/**
 * Build a tray for a board.
 * @param {HTMLElement} host @param {import("#app/board/api.js").Board} board
 * @returns {(state: State) => void} shows a state; call it on every change
 */
export function penTray(host, board) {
  host.classList.add("tray");
  const row = (/** @type {string} */ name, /** @type {string} */ label) => {
    const made = document.createElement("div");
    made.className = name;
    made.setAttribute("role", "group");
    made.setAttribute("aria-label", label);
    host.append(made);
    return made;
  };
  const pens = row("pens", word("pens"));
  /** @type {Map<string, HTMLButtonElement>} */
  const penButtons = new Map();
  for (const [pen, name] of Object.entries(PEN_NAMES)) {
    const made = press(name, () => board.press(`pen-${pen}`), `pen-${pen}`);
    penButtons.set(pen, made);
    pens.append(made);
  }
  const entry = document.createElement("p");
  entry.className = "entry";
  host.append(entry);
  const figures = row("figures-row", word("digits"));
  const traits = row("traits", word("traits"));
  for (const name of TRAITS) traits.append(press(word(name), () => board.press(`trait-${name}`), `trait-${name}`));
  let adding = false;
  const add = press(word("add"), () => {
    adding = !adding;
    add.setAttribute("aria-pressed", String(adding));
    board.addMore(adding);
  });
  add.setAttribute("aria-pressed", "false");
  traits.append(
    add,
    press(word("erase"), () => board.press("erase")),
    press(word("undo"), () => board.press("undo")),
    press(word("redo"), () => board.press("redo")),
  );
  // The board keeps the keyboard while the tray is used by pointer.
  host.addEventListener("pointerdown", (event) => event.preventDefault());
  let shown = "";
  return (state) => {
    for (const [pen, made] of penButtons) made.setAttribute("aria-pressed", String(pen === state.pen));
    entry.textContent = says(state);
    const key = `${state.pen}/${state.size}`;
    if (key === shown) return;
    shown = key;
    figures.replaceChildren(...figureButtons(state, board));
  };
}

/** @param {State} state @param {import("#app/board/api.js").Board} board */
function figureButtons(state, board) {
  if (state.pen === "tint") {
    const names = Array.from({ length: TINTS }, (_, k) => k + 1);
    return [...names, 0].map((tint) => press(tint ? String(tint) : word("none"), () => board.digit(tint), undefined, tint ? word("tint_name", { tint }) : word("tint_none")));
  }
  if (state.pen === "sum") {
    const buttons = [1, 2, 3, 4, 5, 6, 7, 8, 9, 0].map((figure) => press(String(figure), () => board.digit(figure)));
    const write = press(word("write"), () => board.press("enter"));
    write.className = "word";
    return [...buttons, write];
  }
  return Array.from({ length: state.size }, (_, k) => press(String(k + 1), () => board.digit(k + 1)));
}

/** Say in a line what the next digit will do. @param {State} state */
function says({ pen, entry, selection }) {
  if (pen === "sum") return entry ? word("says_sum_so_far", { total: entry }) : word("says_sum");
  if (entry === "0") return word("says_ten");
  if (pen === "tie" && selection.length < 2) return word("says_tie_first");
  return word(`says_${pen}`);
}
