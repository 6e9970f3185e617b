/** The stage: a board for recording software, and every act on disk before it counts. */

import { penTray } from "#app/board/tray.js";
import { boardOf } from "#app/boarding.js";
import { ask, button, clockFace, facts, find } from "#app/dom.js";
import { helpSheet } from "#app/help.js";
import { recordingLink } from "#app/link.js";

/** @typedef {import("#app/board/types.js").Act} Act */

const FLASH_MS = 4000;
/** Type of the rules, rem. */
const [LARGEST, SMALLEST] = [1.3, 0.85];
/** Away longer than this, the clock is taken to have stood still. */
const AWAY_S = 90;

/** @type {readonly import("#app/board/keys.js").Key[]} */
const KEYS = [
  { id: "chapter", keys: ["m"], says: "Mark a chapter here", group: "Recording" },
  { id: "retake", keys: ["a"], says: "Again: retake from here", group: "Recording" },
  { id: "pause", keys: ["p"], says: "Pause the clock, or go on", group: "Recording" },
  { id: "finish", keys: ["ctrl+enter"], says: "Finish", group: "Recording" },
  { id: "rules", keys: ["r"], says: "Show the rules, or put them away", group: "Recording" },
  { id: "breaks", keys: ["b"], says: "Show what breaks a rule, only when asked", group: "Recording" },
  { id: "help", keys: ["?"], says: "This sheet", group: "Recording" },
];

const { key, picture, elapsed, rules: read } = facts();
const loaded = performance.now();
/** Seconds since the recording began; the server's clock said how many at load. */
const now = () => elapsed + (performance.now() - loaded) / 1000;

const board = boardOf(picture, {
  keys: KEYS,
  clock: now,
  locked: true,
  wrote: (acts) => link.push(acts),
  changed: (state) => tray(state),
  wished: (id) => wishes[/** @type {keyof typeof wishes} */ (id)]?.(),
});
const tray = penTray(find("tray", HTMLElement), board);
tray(board.state);
const help = helpSheet(KEYS, { size: picture.size });

const clock = find("clock", HTMLElement);
const stateLine = find("state", HTMLElement);
const savedLine = find("saved", HTMLElement);
const rules = find("rules", HTMLElement);

let lost = false;
const link = recordingLink(key, {
  opened(acts) {
    board.load(acts);
    setTimeout(restAway);
    refresh();
    board.focus();
  },
  kept(waiting) {
    if (lost) return;
    savedLine.dataset.kept = waiting || !link.open ? "no" : "yes";
    if (!link.open) savedLine.textContent = `The desk does not answer: start it again with saywhy desk. ${waiting ? `${count(waiting)} kept here meanwhile.` : "Nothing is lost."}`;
    else savedLine.textContent = waiting ? `${count(waiting)} on the way to the disk.` : "Every move is on disk.";
  },
  lost(reason) {
    lost = true;
    board.lock(true);
    savedLine.dataset.kept = "no";
    savedLine.textContent = `${reason[0]?.toUpperCase()}${reason.slice(1)}. Go on there, or load this page again to go on here.`;
  },
});

/** Where nobody was on the stage for a while, the clock stood still meanwhile. */
function restAway() {
  const left = seen.last;
  const at = Math.max(left, link.acts.at(-1)?.t ?? 0);
  if (left && now() - at > AWAY_S && pauses(link.acts).since === null) {
    link.push([
      { t: at, do: "pause" },
      { t: Math.round(now() * 1000) / 1000, do: "resume" },
    ]);
    refresh();
  }
  setInterval(() => (seen.last = now()), 2000);
}

/** When somebody was last on this stage, kept by the browser; 0 if that is not known. */
const seen = {
  name: `saywhy-seen-${key}`,
  get last() {
    try {
      return Number(localStorage.getItem(this.name) ?? 0);
    } catch {
      return 0;
    }
  },
  set last(seconds) {
    try {
      localStorage.setItem(this.name, String(Math.round(seconds * 1000) / 1000));
    } catch {
      /* Storage is shut: then the clock goes on. */
    }
  },
};

/** @param {number} waiting */
const count = (waiting) => (waiting === 1 ? "1 move is" : `${waiting} moves are`);

/** Give when the clock stood still, and whether it does now. @param {readonly Act[]} acts */
function pauses(acts) {
  let still = 0;
  /** @type {number | null} */
  let since = null;
  let finished = false;
  for (const act of acts) {
    if ((act.do === "pause" || act.do === "finish") && since === null) since = act.t;
    if (act.do === "resume" && since !== null) {
      still += act.t - since;
      since = null;
    }
    if (act.do === "finish") finished = true;
    if (act.do === "resume") finished = false;
  }
  return { still, since, finished };
}

function showClock() {
  const { still, since } = pauses(link.acts);
  const face = clockFace((since ?? now()) - still);
  if (clock.textContent !== face) clock.textContent = face;
}

/** Bring pause and finish up to date. */
function refresh() {
  const { since, finished } = pauses(link.acts);
  if (!lost) board.lock(since !== null);
  stateLine.textContent = finished ? "finished" : since === null ? "" : "paused";
  button("pause-button").setAttribute("aria-pressed", String(since !== null && !finished));
  button("finish-button").disabled = finished;
  find("review-door", HTMLAnchorElement).hidden = !finished;
  showClock();
}

/** @param {Act["do"]} what @param {string} [name] */
function note(what, name) {
  const last = link.acts.at(-1)?.t ?? 0;
  const t = Math.max(Math.round(now() * 1000) / 1000, last);
  link.push([name === undefined ? { t, do: what } : { t, do: what, name }]);
  refresh();
}

const wishes = {
  chapter: () => mark("Chapter"),
  retake: () => mark("Retake"),
  pause: () => note(pauses(link.acts).since === null ? "pause" : "resume"),
  finish: () => note("finish"),
  rules() {
    rules.hidden = !rules.hidden;
    if (rules.hidden) lightRule(-1);
    button("rules-button").setAttribute("aria-pressed", String(!rules.hidden));
    fitRules();
  },
  async breaks() {
    if (board.state.breaks.length) return board.showBreaks([]);
    const digits = board.state.claims.digits;
    try {
      const { cells } = await ask("POST", `/api/recordings/${key}/breaks`, { digits });
      board.showBreaks(cells);
      board.say(cells.length ? `${cells.length} cells break a rule` : "Nothing breaks a rule");
      if (!cells.length) flash("Nothing breaks a rule.");
    } catch (error) {
      flash(error instanceof Error ? error.message : String(error));
    }
    return undefined;
  },
  help: () => help(),
};

/** Say something for a moment. @param {string} words */
function flash(words) {
  const line = find("flash", HTMLElement);
  line.textContent = words;
  clearTimeout(fading);
  fading = setTimeout(() => (line.textContent = ""), FLASH_MS);
}
/** @type {number | undefined} */
let fading;

/** @param {string} name */
function mark(name) {
  note("marker", name);
  flash(`${name} marked at ${clock.textContent}.`);
}

/** Set the rules as large as lets all of them be seen at once. */
function fitRules() {
  for (let size = LARGEST; size >= SMALLEST; size -= 0.05) {
    rules.style.fontSize = `${size}rem`;
    if (rules.scrollHeight <= rules.clientHeight + 1) return;
  }
}
addEventListener("resize", fitRules);

/** Light up the example of a rule; -1 for none. @param {number} place */
function lightRule(place) {
  for (const line of rules.querySelectorAll("button")) line.setAttribute("aria-pressed", String(line.dataset.rule === String(place)));
  board.light(place < 0 ? [] : [{ group: "a", role: "look", cells: read[place].cells }]);
}
for (const line of rules.querySelectorAll("button")) {
  line.addEventListener("click", () => {
    lightRule(line.getAttribute("aria-pressed") === "true" ? -1 : Number(line.dataset.rule));
    board.focus();
  });
}

/** The whole tray is for pointers and fingers; who types needs only to see the pen in hand. @param {boolean} whole */
function showTray(whole) {
  find("tray", HTMLElement).classList.toggle("short", !whole);
  button("tray-button").setAttribute("aria-pressed", String(whole));
}
showTray(matchMedia("(pointer: coarse)").matches || innerWidth < 960);
button("tray-button").addEventListener("click", () => showTray(find("tray", HTMLElement).classList.contains("short")));

button("rules-button").addEventListener("click", wishes.rules);
button("pause-button").addEventListener("click", wishes.pause);
button("finish-button").addEventListener("click", wishes.finish);
// The keyboard stays with the board wherever the page is pressed.
for (const door of document.querySelectorAll(".stage-doors button")) door.addEventListener("mouseup", () => setTimeout(board.focus));
document.addEventListener("pointerdown", (event) => {
  if (event.target instanceof Element && !event.target.closest("button, dialog, .board-cells, .stage-rules")) {
    event.preventDefault();
    board.focus();
  }
});
find("help", HTMLDialogElement).addEventListener("close", () => board.focus());
setInterval(showClock, 200);
