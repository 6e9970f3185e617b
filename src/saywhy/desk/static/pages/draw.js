/** The drawing page: tools and fields over a draft, its picture and its verdict live from the desk. */

import { nameOf } from "#app/board/cells.js";
import { geometry } from "#app/board/svg.js";
import { boardOf, printedOf } from "#app/boarding.js";
import { ask, button, dropFiles, el, facts, find, tell } from "#app/dom.js";
import { showPlaces } from "#app/draw/beside.js";
import { awaited, clueList } from "#app/draw/clue_list.js";
import * as edits from "#app/draw/draft.js";
import { figureRow } from "#app/draw/figures.js";
import { liveLine } from "#app/draw/live.js";
import { offersPanel } from "#app/draw/offers.js";
import { NOTHING, gone, left, stepped } from "#app/draw/past.js";
import { saver } from "#app/draw/saving.js";
import { sketch } from "#app/draw/sketch.js";
import * as tools from "#app/draw/tools.js";
import { helpSheet } from "#app/help.js";
import { VERDICTS, inTime } from "#app/pages/verdict.js";

/** @typedef {import("#app/draw/draft.js").Draft} Draft */
/** @typedef {import("#app/draw/tools.js").Rule} Rule */
/** @typedef {import("#app/dom.js").Problem} Problem */

/** Room beside the grid for places to press, in cell widths, by the form of a rule. @type {Record<string, number>} */
const BESIDE = { outside: 0.8, diagonal: 1.65 };

const given = facts();
/** @type {Map<string, Rule>} */
const rules = new Map(given.rules.map((/** @type {Rule} */ rule) => [rule.name, rule]));
/** @type {string} */
let key = given.key;
/** @type {Draft} */
let draft = given.draft;
let picture = given.picture;
let frame = { size: picture.size, unit: picture.unit, margins: picture.margins };
let savedDraft = draft;
let past = NOTHING;
/** @type {string[][]} */
let groups = [];
let n = 0;
/** @type {Problem[]} */
let problems = [];

const KEYS = [{ id: "choose", keys: ["c"], says: "Choose what to draw; Escape comes back to the board", group: "Write" }, { id: "help", keys: ["?"], says: "This sheet", group: "Write" }, { id: "remove", keys: ["x"], says: "Remove the clue drawn last", group: "Write" }, { id: "mend", keys: ["m"], says: "Mend, or trim what has one solution", group: "Write" }, { id: "next", keys: ["n"], says: "Show the next proposal", group: "Write" }, { id: "take", keys: ["y"], says: "Yes: take the proposal shown", group: "Write" }, { id: "save", keys: ["ctrl+s"], says: "Save", group: "Write" }];
const SAYS = { toggle: "Add this cell, or take it out; so a line goes on diagonally", enter: "Make the clue of the cells selected", figure: "Write a given, or the number of a region; the same again takes it away" };
const WITHOUT = ["pen-digit", "pen-options", "pen-tie", "pen-sum", "pen-tint", "pen-other", "trait-low", "trait-high", "trait-odd", "trait-even"];
const toolBox = find("tool", HTMLSelectElement);
const rule = () => rules.get(toolBox.value) ?? null;

const board = boardOf(picture, {
  keys: KEYS,
  typed: (digit) => edit(tools.typed(draft, toolBox.value, aim(), digit)),
  pressed: (cell, spot) => edit(tools.pressed(draft, rule(), cell, spot)),
  drawn: () => {
    if (edit(tools.drawn(draft, rule(), board.state.selection))) board.select([]);
  },
  changed: (state, before) => {
    if (state.selection !== before.selection) draw();
  },
  intercept: (id) => {
    if (WITHOUT.includes(id)) return true;
    if (id === "undo" || id === "redo") return step(id);
    if (id === "erase") return edit(edits.given(draft, aim(), 0)) || true;
    if (id === "enter") return enter();
    return false;
  },
  wished: (id) => {
    if (id === "help") help();
    if (id === "choose") toolBox.focus();
    if (id === "save") save();
    if (id === "mend") offers.mendOrTrim();
    if (id === "next") offers.next();
    if (id === "take") offers.takeShown();
    if (id === "remove" && draft.clues.length) edit(edits.removed(draft, draft.clues.length - 1));
  },
});
const help = helpSheet(KEYS, { size: draft.size, without: WITHOUT, says: SAYS });
const aim = () => (board.state.selection.length ? board.state.selection : [board.state.focus]);

/**
 * Take a new draft; null changes nothing.
 * @param {Draft | null} next
 * @param {{whole?: boolean, field?: string}} [how] `whole`: another puzzle in its place, not one that was drawn on;
 *   `field`: the field it was typed into
 */
function edit(next, { whole = false, field = "" } = {}) {
  if (!next || next === draft) return false;
  past = stepped(past, draft, next, field);
  const more = !whole && next.clues.length > draft.clues.length;
  draft = next;
  refresh();
  send("verdict");
  if (more) askForField();
  return true;
}

/** @param {"undo" | "redo"} way */
function step(way) {
  const next = gone(past, draft, way);
  if (!next) return true;
  ({ past, draft } = next);
  refresh();
  send("verdict");
  return true;
}

/** Enter, or the add button. */
function enter() {
  const held = rule();
  const selection = board.state.selection.length ? board.state.selection : held?.form === "cell" ? [board.state.focus] : [];
  if (held?.form === "groups") {
    if (selection.length) {
      groups = [...groups, selection.map((cell) => nameOf(cell, draft.size))];
      board.select([]);
      showTool();
    }
    return true;
  }
  if (edit(tools.entered(draft, held, selection))) board.select([]);
  else if (held) find("how", HTMLElement).textContent = `That does not fit. ${held.how}`;
  return true;
}

/** Put the groups together into a clue. */
function finish() {
  const held = rule();
  if (!held || held.form !== "groups" || groups.length < 2) return;
  const clue = { rule: held.name, groups };
  groups = [];
  edit(edits.added(draft, clue));
  showTool();
}

/** After a clue was drawn that needs a number, or a cage, which mostly has one, go to its field. */
function askForField() {
  const held = rules.get(draft.clues.at(-1)?.rule ?? "");
  if (!held?.needs.length && held?.form !== "area") return;
  const input = find("clues", HTMLElement).lastElementChild?.querySelector("input");
  input?.focus();
  input?.addEventListener("keydown", (event) => event.key === "Enter" && board.focus());
}

// The live line to the desk.
const live = liveLine({
  opened: () => send("verdict"),
  heard: hear,
  lost() {
    const line = find("verdict", HTMLElement);
    line.textContent = "The desk does not answer";
    line.dataset.verdict = "";
    find("verdict-words", HTMLElement).textContent = "Start it again with saywhy desk, then open the address that it prints. What is drawn is kept in this browser.";
  },
});

const offers = offersPanel({ draft: () => draft, show: showOffer, take: takeOffer });

/** @param {Draft} next */
function takeOffer(next) {
  edit(next, { whole: true });
  board.focus();
}

/** Show an offer on the board, with what it changes lit; null shows the drawing. @param {import("#app/draw/offers.js").Offer | null} offer */
function showOffer(offer) {
  const drawn = picture;
  picture = offer?.picture ?? picture;
  print();
  picture = drawn;
  board.light(offer ? [{ group: "a", cells: offer.cells, role: "result" }] : []);
}

/** What was asked last. @type {"verdict" | "where"} */
let asked = "verdict";

/** @param {"verdict" | "where"} what */
function send(what) {
  n += 1;
  if (!live({ n, draft, ask: what })) return;
  asked = what;
  const line = find("verdict", HTMLElement);
  line.dataset.n = "";
  if (what === "where") lightWhere([], ["Looking…"]);
  else {
    line.dataset.verdict = "";
    lightWhere([], []);
    offers.changed();
  }
}

/** @param {any} message */
function hear(message) {
  if (message.n !== n) return;
  if ("problems" in message) {
    problems = message.problems;
    if (message.picture) {
      const same = message.picture.svg === picture.svg && message.picture.size === picture.size;
      picture = message.picture;
      if (!same) print();
      board.pose({ digits: new Array(picture.size ** 2).fill(0) });
    }
    showProblems();
    draw();
    showBeside();
  }
  const line = find("verdict", HTMLElement);
  if (message.verdict) {
    const [head, rest] = VERDICTS[message.verdict.verdict] ?? [message.verdict.verdict, ""];
    line.textContent = head;
    line.dataset.verdict = message.verdict.verdict;
    line.dataset.n = String(n);
    offers.judged(message.verdict.verdict);
    find("verdict-words", HTMLElement).textContent = `${rest} Proved in ${inTime(message.verdict.seconds)}.`;
    button("where").hidden = !["many", "none"].includes(message.verdict.verdict);
  }
  if (message.where) {
    line.dataset.n = String(n);
    lightWhere(message.where.cells, message.where.words);
  }
}

/** Show the printed picture, with room beside the grid while a tool writes there. */
function print() {
  const least = BESIDE[rule()?.form ?? ""] ?? 0;
  const { above, right, below, left } = picture.margins;
  const wide = (/** @type {number} */ margin) => Math.max(margin, least);
  frame = { size: picture.size, unit: picture.unit, margins: { above: wide(above), right: wide(right), below: wide(below), left: wide(left) } };
  board.print({ ...printedOf(picture), ...frame });
}

/** @param {readonly number[]} cells @param {readonly string[]} words */
function lightWhere(cells, words) {
  board.light(cells.length ? [{ group: "a", cells, role: "result" }] : []);
  find("where-words", HTMLElement).replaceChildren(...words.map((word) => el("li", {}, word)));
}

function showProblems() {
  const wrong = new Map();
  for (const problem of problems) {
    if (problem.clue === null || problem.clue === undefined) continue;
    const clue = draft.clues[problem.clue];
    const waits = awaited(clue, rules.get(clue?.rule ?? ""));
    if (!wrong.has(problem.clue)) wrong.set(problem.clue, waits || `${sentence(problem.what)} ${problem.mend}.`);
  }
  showClues(draft.clues, wrong);
  const whole = problems.find((problem) => problem.clue === null || problem.clue === undefined);
  const line = find("verdict", HTMLElement);
  if (problems.length) {
    button("where").hidden = true;
    line.textContent = whole ? "Not a puzzle yet" : problems.length === 1 ? "One clue is not finished" : `${wrong.size} clues are not finished`;
    find("verdict-words", HTMLElement).textContent = whole ? `${named(whole)} ${whole.mend}.` : "See the list of clues.";
    line.dataset.n = String(n);
  } else if (asked === "verdict") line.textContent = "Counting the solutions…";
}

/** Say a problem of the whole, by the label of its field where it has one. @param {import("#app/dom.js").Problem} problem */
function named({ what, field }) {
  const label = field === "title" || field === "setter" ? fields[field].labels?.[0]?.textContent : null;
  return label ? `${label.trim()}: ${what}.` : sentence(what);
}

/** @param {string} what */
const sentence = (what) => `${what[0]?.toUpperCase()}${what.slice(1)}.`;

/** The clue that is pointed at in the list. */
let lit = /** @type {number | null} */ (null);

/** Draw what is not yet printed. */
function draw() {
  if (picture.size !== draft.size) return;
  const places = new Set([...problems.map((problem) => problem.clue), lit].filter((clue) => typeof clue === "number"));
  sketch(board.overlay, geometry(frame), {
    draft,
    thread: rule()?.form === "line" ? board.state.selection : [],
    clues: [...places].map((place) => draft.clues[place ?? -1]),
    groups,
    regions: toolBox.value === "regions",
  });
}

/** Places to press beside the grid, while a tool writes there. */
function showBeside() {
  const host = find("beside", HTMLElement);
  const held = rule();
  if (held?.form !== "outside" && held?.form !== "diagonal") return host.replaceChildren();
  const board = find("board", HTMLElement).getBoundingClientRect();
  return showPlaces(host, board, geometry(frame), held, draft, (cells) => edit(tools.toggled(draft, held, cells)));
}

function showTool() {
  const held = rule();
  const own = { givens: "Type a digit into the cells that are selected.", regions: "Select cells and type the number of their region." };
  find("how", HTMLElement).textContent = held?.how ?? own[/** @type {"givens"} */ (toolBox.value)] ?? "";
  find("meaning", HTMLElement).textContent = held?.meaning ?? "";
  button("add").hidden = !held || !(tools.waits(held.form) || held.form === "line");
  button("add").textContent = held?.form === "groups" ? "This is a group" : "Add";
  button("group").hidden = held?.form !== "groups";
  button("group").textContent = `Finish with ${groups.length} groups`;
  button("group").disabled = groups.length < 2;
  figuresShown();
  showBeside();
  draw();
}

const showFigures = figureRow(find("figures", HTMLElement), (digit) =>
  digit ? edit(tools.typed(draft, toolBox.value, aim(), digit)) : board.press("erase"),
);

const figuresShown = () => showFigures(draft.size, toolBox.value === "givens" || toolBox.value === "regions");

const showClues = clueList(
  find("clues", HTMLElement),
  {
    change: (place, change) => edit(edits.changed(draft, place, change), { field: `${place} ${Object.keys(change)}` }),
    left: () => (past = left(past)),
    remove: (place) => edit(edits.removed(draft, place)),
    light: (place) => {
      lit = place;
      draw();
    },
  },
  rules,
);

const fields = { title: find("title", HTMLInputElement), setter: find("setter", HTMLInputElement) };
const size = find("size", HTMLSelectElement);
const regions = find("regions", HTMLSelectElement);
const ticks = [...document.querySelectorAll("[name=rule], [name=all-given]")].filter((box) => box instanceof HTMLInputElement);

/** Bring everything but the board up to date with the draft. */
function refresh() {
  for (const [name, input] of Object.entries(fields)) {
    const value = draft[/** @type {"title"} */ (name)];
    if (input.value !== value) input.value = value;
  }
  size.value = String(draft.size);
  regions.value = edits.regionsOf(draft);
  const usual = regions.options[0];
  if (usual) usual.disabled = !edits.BOXES[draft.size];
  for (const box of ticks) box.checked = draft[box.name === "rule" ? "rules" : "all_given"].includes(box.value);
  button("undo").disabled = !past.before.length;
  button("redo").disabled = !past.after.length;
  find("no-clues", HTMLElement).hidden = draft.clues.length > 0;
  showClues(draft.clues, new Map());
  figuresShown();
  // A given shows at once; the printed picture follows.
  if (draft.size === board.state.size) {
    board.pose({ digits: draft.givens.map((digit, cell) => (digit === picture.givens[cell] ? 0 : digit)) });
  }
  keep();
}

// What is not saved yet outlives a crash of the browser.
const shelf = () => `saywhy-draft-${key || "new"}`;
function keep() {
  try {
    if (draft !== savedDraft) localStorage.setItem(shelf(), JSON.stringify(draft));
  } catch {
    /* Storage is shut: the page alone must do. */
  }
}

const save = saver(given, {
  draft: () => draft,
  saved(kept, under) {
    savedDraft = kept;
    localStorage.removeItem(shelf());
    key = under;
    history.replaceState(null, "", `/draw/${key}`);
    showName();
  },
});

/** Put the name of what was saved at the head of a page that began without one. */
function showName() {
  const head = document.getElementById("made-title");
  if (!head) return;
  head.textContent = draft.title || "Untitled";
  find("made-by", HTMLElement).textContent = `${draft.setter ? `set by ${draft.setter}, ` : ""}${draft.size} by ${draft.size}`;
}

/** Save, then put what was saved on the shelf, and go there. */
async function shelve() {
  if (!(await save()) || draft !== savedDraft) return;
  try {
    location.assign(`/shelf/p${(await ask("POST", `/api/puzzles/${key}/shelf`)).id}`);
  } catch (error) {
    find("saved", HTMLElement).textContent = error instanceof Error ? error.message : String(error);
  }
}

/** @param {string} text */
async function take(text) {
  const told = find("told", HTMLElement);
  tell(told, "");
  try {
    const read = await ask("POST", "/api/read", { text });
    edit(read.draft, { whole: true });
    showTool();
  } catch (error) {
    tell(told, error);
  }
}

for (const [name, input] of Object.entries(fields)) {
  input.addEventListener("input", () => edit({ ...draft, [name]: input.value }, { field: name }));
  input.addEventListener("blur", () => (past = left(past)));
}
size.addEventListener("change", () => edit(edits.sized(draft, Number(size.value))));
regions.addEventListener("change", () => {
  edit(edits.regioned(draft, /** @type {"own"} */ (regions.value)));
  if (regions.value === "own") toolBox.value = "regions";
  showTool();
});
for (const box of ticks) {
  box.addEventListener("change", () => edit(edits.ticked(draft, box.name === "rule" ? "rules" : "all_given", box.value, box.checked)));
}
toolBox.addEventListener("change", () => {
  groups = [];
  print();
  showTool();
});
toolBox.addEventListener("keydown", (event) => event.key === "Escape" && board.focus());
button("add").addEventListener("click", () => {
  enter();
  board.focus();
});
button("group").addEventListener("click", finish);
button("undo").addEventListener("click", () => step("undo"));
button("redo").addEventListener("click", () => step("redo"));
button("save").addEventListener("click", () => save());
button("shelve").addEventListener("click", shelve);
button("where").addEventListener("click", () => send("where"));
button("take").addEventListener("click", () => take(find("pasted", HTMLTextAreaElement).value));
dropFiles(async ([file]) => file && take(await file.text()));
addEventListener("resize", showBeside);
addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
    event.preventDefault();
    save();
  }
});
addEventListener("beforeunload", (event) => {
  if (draft !== savedDraft && draft.clues.length + draft.givens.filter(Boolean).length) event.preventDefault();
});

try {
  const held = JSON.parse(localStorage.getItem(shelf()) ?? "null");
  if (held) {
    const line = find("saved", HTMLElement);
    const up = el("button", { type: "button", class: "plain" }, "Take it up");
    up.addEventListener("click", () => {
      edit(held, { whole: true });
      line.textContent = "";
    });
    line.replaceChildren("What was drawn here last was not saved. ", up);
  }
} catch {
  /* Nothing that can be taken up. */
}
const shown = draft;
refresh();
if (shown === savedDraft) showTool();
