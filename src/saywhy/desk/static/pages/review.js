/** A recording played again; its review is worked out beside the desk, and the page opens anew with it. */

import { replay } from "#app/board/replay.js";
import { boardOf } from "#app/boarding.js";
import { button, facts, find } from "#app/dom.js";

const { key, picture, acts, length, moves, wrong, finished, others } = facts();
const { show } = replay(boardOf(picture, { locked: true }), { acts, length, moves, wrong });
const asked = Number(new URLSearchParams(location.search).get("t"));
if (asked > 0) show(asked);

/** @type {WebSocket | null} */
let line = null;

/** Have one recording judged; what is told comes as words, null when done. @param {string} name @returns {Promise<string | null>} */
function judge(name) {
  return new Promise((tell) => {
    line = new WebSocket(`ws://${location.host}/live/reviews/${name}`);
    /** @type {string} */
    let words = "It was stopped.";
    let done = false;
    line.addEventListener("message", (event) => {
      const said = JSON.parse(event.data);
      done = Boolean(said.done);
      if (said.problem) words = said.problem;
    });
    line.addEventListener("close", (event) => {
      line = null;
      if (event.code === 1006 && !done) words = "The desk does not answer; start it again with `saywhy desk`.";
      tell(done ? null : words);
    });
  });
}

async function start() {
  working(true, "Judging every move by what could be known at its moment…");
  const problem = await judge(key);
  if (problem === null) location.reload();
  else working(false, problem);
}

/** @param {boolean} on @param {string} words */
function working(on, words) {
  find("judge-told", HTMLElement).textContent = words;
  button("judge").hidden = on;
  button("stop").hidden = !on;
}

if (document.getElementById("judge")) {
  button("judge").addEventListener("click", start);
  button("stop").addEventListener("click", () => line?.close());
  if (finished) start();
}

/** Judge the other finished solves too, one after another. */
async function judgeOthers() {
  const told = find("others-told", HTMLElement);
  button("others").disabled = true;
  const problems = [];
  for (const [place, { key: name, title }] of others.entries()) {
    told.textContent = `${place + 1} of ${others.length}: ${title}`;
    const problem = await judge(name);
    if (problem !== null) problems.push(`${title}: ${problem}`);
  }
  if (problems.length < others.length) location.reload();
  else told.textContent = problems.join(" ");
}
if (document.getElementById("others")) button("others").addEventListener("click", judgeOthers);

const copy = document.getElementById("copy-errata");
copy?.addEventListener("click", async () => {
  const text = find("errata-text", HTMLElement).textContent ?? "";
  const told = find("copied", HTMLElement);
  try {
    await navigator.clipboard.writeText(text);
    told.textContent = "Copied.";
  } catch {
    told.textContent = "The browser does not let it be copied; mark it by hand.";
  }
});
