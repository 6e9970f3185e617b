/** The viewers' page: a board to solve on, help in three strengths, a check, and the talk behind its gate. */

import { createBoard } from "#app/board/api.js";
import { penTray } from "#app/board/tray.js";
import { breaks } from "#app/page/check.js";
import { cellName, conclusion, nextStep, reason, wrongCell } from "#app/page/hints.js";
import { gridHash, unseal } from "#app/page/sealed.js";

/** @typedef {import("#app/board/types.js").Act} Act */

/** @param {string} id */
function find(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
}

const facts = JSON.parse(find("facts").textContent ?? "{}");
const { size, givens } = facts.picture;

/** Say something in the page's language. @param {string} name @param {Record<string, string | number>} [values] */
const word = (name, values = {}) => String(facts.texts[name]).replace(/\{(\w+)\}/g, (_, held) => String(values[held] ?? ""));

const SHELF = `saywhy-page-${facts.id}`;

/** What this browser keeps of the solve. @type {{acts: Act[], told: number[]}} */
let kept = { acts: [], told: [] };
try {
  const found = JSON.parse(localStorage.getItem(SHELF) ?? "null");
  if (Array.isArray(found?.acts) && Array.isArray(found?.told)) kept = found;
} catch {
  kept = { acts: [], told: [] };
}

function keep() {
  try {
    localStorage.setItem(SHELF, JSON.stringify(kept));
  } catch {
    find("kept").textContent = word("not_kept");
  }
}

const KEYS = [
  { id: "hint", keys: ["n"], says: word("page_help"), group: "" },
  { id: "deeper", keys: ["m"], says: word("more"), group: "" },
  { id: "check", keys: ["c"], says: word("page_check"), group: "" },
];

const host = find("board");
const loaded = performance.now();
const before = kept.acts.at(-1)?.t ?? 0;
const board = createBoard(host, { ...facts.picture, picture: host.querySelector("svg") }, {
  label: host.dataset.label ?? "",
  keys: KEYS,
  clock: () => before + (performance.now() - loaded) / 1000,
  wrote(acts) {
    kept.acts.push(...acts);
    keep();
    // What the last check said is of the grid as it was.
    if (checked) say("");
    if (digits().every(Boolean)) check();
  },
  changed: (state) => tray(state),
  wished: (id) => wishes[/** @type {keyof typeof wishes} */ (id)]?.(),
});
const tray = penTray(find("tray"), board);
tray(board.state);
if (kept.acts.length) board.load(kept.acts);

const digits = () => board.state.claims.digits.map((/** @type {number} */ digit, /** @type {number} */ cell) => givens[cell] || digit);

/** @typedef {import("#app/page/hints.js").Step} Step */
/** @type {Promise<Step[]> | null} */
let opening = null;
/** The path, opened when somebody asks for it; who asks first is answered first. @returns {Promise<Step[]>} */
const steps = () => (opening ??= unseal(facts.steps, `${facts.salt}/steps`));

let at = -1;
let strength = 0;
/** Whether the outcome of a check is what stands there. */
let checked = false;

/** @param {string} text */
function say(text) {
  checked = false;
  const told = find("told");
  told.replaceChildren();
  const line = document.createElement("p");
  line.textContent = text;
  told.append(line);
}

/** Tell the next step, as much of it as was asked for. @param {Step[]} path @param {number} wanted */
function hint(path, wanted) {
  const wrong = wrongCell(path, digits());
  if (wrong >= 0) {
    at = -1;
    strength = Math.min(Math.max(wanted, 1), 3);
    const row = Math.floor(wrong / size) + 1;
    say(strength < 2 ? word("wrong_row", { row }) : word("wrong_cell", { digit: digits()[wrong] ?? 0, cell: cellName(wrong, size) }));
    board.light(strength < 2 ? [] : [{ group: "a", cells: [wrong], role: "look" }]);
    return levels();
  }
  const next = nextStep(path, digits(), new Set(kept.told));
  if (next < 0) {
    at = -1;
    strength = 0;
    say(word("full"));
    board.light([]);
    return levels();
  }
  if (next !== at) board.light([]);
  at = next;
  strength = Math.min(Math.max(wanted, 1), 3);
  const step = path[at];
  if (!step) return undefined;
  const concluded = conclusion(step, size, word);
  say(strength === 1 ? step.where : strength === 2 ? step.clue : reason(step, concluded));
  if (strength === 2) board.light(step.marks.filter((mark) => mark.role !== "result"));
  if (strength === 3) {
    board.light(step.marks);
    const line = document.createElement("p");
    line.className = "so";
    line.textContent = concluded;
    find("told").append(line);
    if (!kept.told.includes(at) && !step.places.length) {
      kept.told.push(at);
      keep();
    }
  }
  return levels();
}

function levels() {
  for (const button of document.querySelectorAll("[data-strength]")) {
    button.setAttribute("aria-pressed", String(Number(/** @type {HTMLElement} */ (button).dataset.strength) === strength));
  }
}

/** More of the hint that stands there; of a new one, where to look. @param {Step[]} path */
function deeper(path) {
  const open = nextStep(path, digits(), new Set(kept.told));
  hint(path, at >= 0 && open !== at ? 1 : strength + 1);
}

function check() {
  const now = digits();
  const guilty = breaks(facts.statements, now, size).filter((cell) => !givens[cell]);
  const any = breaks(facts.statements, now, size).length > 0;
  board.showBreaks(guilty);
  let text = word("fine");
  if (any) text = word("breaks");
  else if (now.every(Boolean)) text = gridHash(now, facts.salt) === facts.hash ? word("solved") : word("not_right");
  at = -1;
  strength = 0;
  levels();
  board.light([]);
  say(text);
  checked = true;
  board.say(text);
}

const wishes = { hint: () => steps().then((path) => hint(path, 1)), deeper: () => steps().then(deeper), check };

for (const button of document.querySelectorAll("[data-strength]")) {
  button.addEventListener("click", async () => hint(await steps(), Number(/** @type {HTMLElement} */ (button).dataset.strength)));
}
find("check").addEventListener("click", check);
find("print").addEventListener("click", () => print());
find("again").addEventListener("click", () => {
  if (!kept.acts.length || !confirm(word("sure"))) return;
  kept = { acts: [], told: [] };
  keep();
  at = -1;
  strength = 0;
  board.load([]);
  board.light([]);
  say("");
  levels();
});
const lamp = find("lamp");
const night = () => (document.documentElement.dataset.theme ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
lamp.setAttribute("aria-pressed", String(night()));
lamp.addEventListener("click", () => {
  document.documentElement.dataset.theme = night() ? "light" : "dark";
  lamp.setAttribute("aria-pressed", String(night()));
});
for (const button of document.querySelectorAll("[data-example]")) {
  button.addEventListener("click", () => {
    const on = button.getAttribute("aria-pressed") !== "true";
    for (const other of document.querySelectorAll("[data-example]")) other.setAttribute("aria-pressed", String(other === button && on));
    board.light(on ? [{ group: "a", cells: facts.examples[Number(/** @type {HTMLElement} */ (button).dataset.example)], role: "look" }] : []);
  });
}
find("reveal").addEventListener("click", async () => {
  const path = await steps();
  const list = document.createElement("ol");
  const beats = await unseal(facts.beats, `${facts.salt}/beats`);
  beats.forEach((/** @type {string} */ text, /** @type {number} */ n) => {
    const line = document.createElement("li");
    line.append(text);
    const show = document.createElement("button");
    show.type = "button";
    show.className = "plain";
    show.textContent = word("page_show");
    show.setAttribute("aria-label", word("show_beat", { beat: n + 1 }));
    show.addEventListener("click", () => {
      board.light(path.find((step) => step.beat === n + 1)?.marks ?? []);
      host.scrollIntoView({ block: "nearest" });
    });
    line.append(" ", show);
    list.append(line);
  });
  find("talk").replaceChildren(list);
});
document.documentElement.dataset.alive = "yes";
