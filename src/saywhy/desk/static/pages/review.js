/** A recording played again, act by act. */

import { told } from "#app/board/speech.js";
import { boardOf } from "#app/boarding.js";
import { button, clockFace, facts, find } from "#app/dom.js";

/** @typedef {import("#app/board/types.js").Act} Act */

/** @type {{picture: any, acts: Act[]}} */
const { picture, acts } = facts();
const board = boardOf(picture, { locked: true });
const slider = find("moment", HTMLInputElement);

/** @param {number} seconds */
function show(seconds) {
  const till = acts.filter((act) => act.t <= seconds);
  board.load(till);
  slider.value = String(Math.ceil(seconds));
  find("at", HTMLOutputElement).textContent = clockFace(seconds);
  slider.setAttribute("aria-valuetext", clockFace(seconds));
  const last = till.at(-1);
  find("act", HTMLElement).textContent = last ? (last.name ?? (told([last], picture.size) || last.do)) : "Before the first act.";
  moment = seconds;
}
let moment = 0;
/** @type {number | undefined} */
let playing;

/** @param {boolean} on */
function play(on) {
  clearInterval(playing);
  playing = undefined;
  button("play").setAttribute("aria-pressed", String(on));
  if (!on) return;
  const end = acts.at(-1)?.t ?? 0;
  if (moment >= end) show(0);
  playing = setInterval(() => {
    show(Math.min(moment + 0.25, end));
    if (moment >= end) play(false);
  }, 250);
}

slider.addEventListener("input", () => show(Number(slider.value)));
button("play").addEventListener("click", () => play(playing === undefined));
button("after").addEventListener("click", () => show(acts.find((act) => act.t > moment)?.t ?? moment));
button("before").addEventListener("click", () => show(acts.findLast((act) => act.t < moment)?.t ?? 0));
for (const marker of document.querySelectorAll("[data-moment]")) {
  if (marker instanceof HTMLElement) marker.addEventListener("click", () => show(Number(marker.dataset.moment)));
}
show(0);
