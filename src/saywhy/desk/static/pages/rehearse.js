/** The path beat by beat, in large type; a second window can hold the notes. */

import { boardOf } from "#app/boarding.js";
import { ask, button, el, facts, find } from "#app/dom.js";
import { beginOf, posed, why } from "#app/pages/rehearsal.js";

const KEYS = [
  { id: "next", keys: ["n"], says: "Next", group: "Path" },
  { id: "back", keys: ["b"], says: "Back", group: "Path" },
  { id: "jump", keys: ["j"], says: "Go to a beat", group: "Path" },
];

const { key, picture } = facts();
const channel = new BroadcastChannel(`saywhy-rehearsal-${key}`);
const board = boardOf(picture, {
  locked: true,
  keys: KEYS,
  intercept: (id) => (id === "enter" ? answer(board.state.focus) : false),
  wished: (id) => moves[/** @type {keyof typeof moves} */ (id)]?.(),
  drawn: () => void answer(board.state.focus),
});

/** @type {import("#app/pages/rehearsal.js").Step[]} */
let steps = [];
let at = 0;

async function reveal() {
  button("reveal").disabled = true;
  const told = find("gate-told", HTMLElement);
  told.textContent = "Working out the path…";
  try {
    const path = await ask("GET", `/api/puzzles/${key}/path?reveal=yes`);
    steps = path.steps;
    if (!steps.length) {
      told.textContent = "There is no path: the puzzle does not have exactly one solution.";
      return;
    }
    find("gate", HTMLElement).hidden = true;
    find("talk", HTMLElement).hidden = false;
    find("jump", HTMLInputElement).max = String(steps.at(-1)?.beat ?? 1);
    show(0);
    board.focus();
  } catch (error) {
    told.textContent = error instanceof Error ? error.message : String(error);
    button("reveal").disabled = false;
  }
}

/** @param {number} next */
function show(next) {
  at = Math.min(Math.max(next, 0), steps.length - 1);
  const step = steps[at];
  if (!step) return;
  const { claims, marks } = posed(steps, at, picture.size);
  board.pose(claims);
  board.light(marks);
  const beats = steps.at(-1)?.beat ?? 1;
  find("beat-head", HTMLElement).textContent = `Beat ${step.beat} of ${beats}`;
  const here = steps.filter((other) => other.beat === step.beat);
  find("sentences", HTMLElement).replaceChildren(...here.map((other) => el("p", other === step ? { "data-now": "" } : {}, other.text)));
  find("written", HTMLElement).replaceChildren(...here.map((other) => el("p", {}, other.written)));
  find("jump", HTMLInputElement).value = String(step.beat);
  find("of", HTMLElement).textContent = `step ${at + 1} of ${steps.length}`;
  button("back").disabled = at === 0;
  button("next").disabled = at === steps.length - 1;
  const bar = find("progress", HTMLElement).firstElementChild;
  if (bar instanceof HTMLElement) bar.style.width = `${(100 * (at + 1)) / steps.length}%`;
  channel.postMessage({ at, steps });
}

/** Say why a cell is what it is. @param {number} cell */
function answer(cell) {
  if (!steps.length) return false;
  const { words, at: there } = why(steps, cell, picture.givens, picture.size);
  const line = find("why", HTMLElement);
  line.replaceChildren(words);
  if (there >= 0 && there !== at) {
    const go = el("button", { type: "button", class: "plain" }, "Go there");
    go.addEventListener("click", () => show(there));
    line.append(" ", go);
  }
  return true;
}

const moves = {
  next: () => show(at + 1),
  back: () => show(at - 1),
  jump: () => find("jump", HTMLInputElement).select(),
};

button("reveal").addEventListener("click", reveal);
button("next").addEventListener("click", moves.next);
button("back").addEventListener("click", moves.back);
const jump = find("jump", HTMLInputElement);
jump.addEventListener("change", () => {
  const begin = beginOf(steps, Number(jump.value));
  show(begin < 0 ? at : begin);
});

// With the notes open elsewhere, this window shows only the board.
channel.addEventListener("message", ({ data }) => {
  if (data.hello && steps.length) channel.postMessage({ at, steps });
  if (data.go !== undefined && steps.length) show(data.go);
  if (data.hello || data.bye) document.body.classList.toggle("alone", Boolean(data.hello) && steps.length > 0);
});
