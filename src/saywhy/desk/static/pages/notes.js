/** The speaker's notes, in step with the window that shows the board. */

import { button, el, facts, find } from "#app/dom.js";

/** @typedef {import("#app/pages/rehearsal.js").Step} Step */

const { key } = facts();
const channel = new BroadcastChannel(`saywhy-rehearsal-${key}`);
let at = 0;

/** @param {readonly Step[]} steps */
function show(steps) {
  const step = steps[at];
  if (!step) return;
  find("gate", HTMLElement).hidden = true;
  find("talk", HTMLElement).hidden = false;
  find("beat-head", HTMLElement).textContent = `Beat ${step.beat} of ${steps.at(-1)?.beat ?? 1}`;
  const here = steps.filter((other) => other.beat === step.beat);
  find("sentences", HTMLElement).replaceChildren(...here.map((other) => el("p", other === step ? { "data-now": "" } : {}, other.text)));
  find("after", HTMLElement).replaceChildren(...steps.filter((other) => other.beat === step.beat + 1).map((other) => el("p", {}, other.text)));
  find("of", HTMLElement).textContent = `step ${at + 1} of ${steps.length}`;
}

channel.addEventListener("message", ({ data }) => {
  if (!data.steps) return;
  at = data.at;
  show(data.steps);
});
const go = (/** @type {number} */ by) => channel.postMessage({ go: at + by });
button("next").addEventListener("click", () => go(1));
button("back").addEventListener("click", () => go(-1));
addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const by = { n: 1, b: -1, arrowright: 1, arrowleft: -1 }[event.key.toLowerCase()];
  if (by) go(by);
});
addEventListener("pagehide", () => channel.postMessage({ bye: true }));
channel.postMessage({ hello: true });
