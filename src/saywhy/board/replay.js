/**
 * A recording played again on a board: the slider, the buttons, the list of judged moves and their reasons.
 *
 * The page has the elements by their ids (`moment`, `at`, `play`, `before`, `after`, `act`, and where moves
 * are judged `moves`, `why`, `strip`); anything with `data-t` leads to that moment.
 */

import { told } from "#app/board/speech.js";

/** @typedef {import("#app/board/types.js").Act} Act */

/**
 * A move as its review judges it; every text is shown as it is.
 * @typedef {object} Judged
 * @property {number} t seconds
 * @property {number[]} cells what it speaks of
 * @property {string} head the moment, what was said and its verdict
 * @property {string} verdict
 * @property {string[]} lines the reason, and since when it had been open
 * @property {number[]} because cells that the reason rests on
 */

/**
 * @typedef {object} Replayed
 * @property {readonly Act[]} acts
 * @property {number} length seconds
 * @property {readonly Judged[]} [moves]
 * @property {readonly [number, number[]][]} [wrong] from when on which cells hold digits that are not so
 */

const TICK_MS = 100;
const JUST_S = 1e-6;

/** Give minutes and seconds, rounded down. @param {number} seconds */
export function face(seconds) {
  const whole = Math.max(0, Math.floor(seconds + JUST_S));
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

/** @param {import("#app/board/api.js").Board} board @param {Replayed} given */
export function replay(board, { acts, length, moves = [], wrong = [] }) {
  const part = (/** @type {string} */ id) => document.getElementById(id);
  const slider = /** @type {HTMLInputElement} */ (part("moment"));
  const speed = /** @type {HTMLSelectElement | null} */ (part("speed"));
  /** @type {HTMLElement[]} */
  const rows = [...(part("moves")?.querySelectorAll(/** @type {"button"} */ ("button[data-move]")) ?? [])];
  const hand = part("strip")?.querySelector(".strip-hand");
  let moment = 0;
  /** @type {number | undefined} */
  let playing;

  /** Show a moment; of moves at the same one, this. @param {number} seconds @param {number} [chosen] */
  function show(seconds, chosen) {
    moment = Math.min(Math.max(seconds, 0), length);
    const till = acts.filter((act) => act.t <= moment + JUST_S);
    board.load(till);
    slider.value = String(moment);
    slider.setAttribute("aria-valuetext", face(moment));
    /** @type {HTMLElement} */ (part("at")).textContent = face(moment);
    hand?.setAttribute("transform", `translate(${(Number(hand.getAttribute("data-width")) * moment) / (length || 1)} 0)`);
    const last = till.at(-1);
    const said = last ? (last.name ?? (told([last], board.state.size) || last.do)) : "Before the first act.";
    const act = part("act");
    if (act) act.textContent = said;
    judged(chosen ?? moves.findLastIndex((move) => move.t <= moment + JUST_S));
  }

  /** Show what a move's review says. @param {number} at */
  function judged(at) {
    const move = moves[at];
    const amiss = wrong.findLast(([t]) => t <= moment + JUST_S)?.[1] ?? [];
    board.light([
      ...(move?.because.length ? [{ group: "b", role: /** @type {const} */ ("because"), cells: move.because }] : []),
      ...(move ? [{ group: "a", role: /** @type {const} */ ("look"), cells: move.cells }] : []),
      ...(amiss.length ? [{ group: "c", role: /** @type {const} */ ("result"), cells: amiss }] : []),
    ]);
    rows.forEach((row, place) => (place === at ? row.setAttribute("aria-current", "step") : row.removeAttribute("aria-current")));
    const why = part("why");
    if (!why) return;
    why.dataset.verdict = move?.verdict ?? "";
    why.replaceChildren(...[move ? move.head : "Before the first move.", ...(move?.lines ?? [])].map(paragraph));
    const row = rows[at];
    const list = row?.closest("ol");
    if (row && list) {
      const [top, room] = [row.offsetTop, list.clientHeight]; // the list is what its rows are placed in
      if (top < list.scrollTop || top > list.scrollTop + room - row.offsetHeight) list.scrollTop = top - room / 3;
    }
  }

  /** @param {boolean} on */
  function play(on) {
    clearInterval(playing);
    playing = undefined;
    part("play")?.setAttribute("aria-pressed", String(on));
    if (!on) return;
    if (moment >= length) show(0);
    playing = setInterval(() => {
      show(moment + (Number(speed?.value ?? 1) * TICK_MS) / 1000);
      if (moment >= length) play(false);
    }, TICK_MS);
  }

  const times = moves.length ? moves.map((move) => move.t) : acts.map((act) => act.t);
  slider.addEventListener("input", () => show(Number(slider.value)));
  part("play")?.addEventListener("click", () => play(playing === undefined));
  part("after")?.addEventListener("click", () => show(times.find((t) => t > moment + JUST_S) ?? length));
  part("before")?.addEventListener("click", () => show(times.findLast((t) => t < moment - JUST_S) ?? 0));
  for (const door of document.querySelectorAll("[data-t]")) {
    const place = rows.findIndex((row) => row === door);
    door.addEventListener("click", () => show(Number(door.getAttribute("data-t")), place < 0 ? undefined : place));
  }
  part("strip")?.addEventListener("click", (event) => {
    const held = part("strip")?.getBoundingClientRect();
    if (held) show((length * (event.clientX - held.left)) / held.width);
  });
  show(0);
  return { show };
}

/** @param {string} text */
function paragraph(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}
