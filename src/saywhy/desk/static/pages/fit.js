/** The card: fit to air, how much effort, how long; nothing that spoils until it is asked for. */

import { svg } from "#app/board/svg.js";
import { boardOf } from "#app/boarding.js";
import { ask, button, el, facts, find } from "#app/dom.js";
import { VERDICTS, inTime } from "#app/pages/verdict.js";

const { key, picture } = facts();
boardOf(picture, { locked: true });

const line = find("verdict", HTMLElement);
const words = find("verdict-words", HTMLElement);
const effortWords = find("effort-words", HTMLElement);

/** @param {string} id @param {unknown} error */
const failed = (id, error) => {
  find(id, HTMLElement).textContent = error instanceof Error ? error.message : String(error);
};

async function verdict() {
  const { verdict, seconds } = await ask("GET", `/api/puzzles/${key}/verdict`);
  const [head, rest] = VERDICTS[verdict] ?? [verdict, ""];
  line.textContent = head;
  line.dataset.verdict = verdict;
  words.textContent = `${rest} Proved in ${inTime(seconds)}.`;
  return verdict;
}

/** @param {number[]} climb */
function ridge(climb) {
  const host = find("climb-picture", HTMLElement);
  const [wide, tall] = [480, 110];
  const top = Math.max(...climb, 1);
  const step = wide / Math.max(climb.length, 1);
  const points = climb.map((effort, k) => `${(k + 0.5) * step} ${tall - (effort / top) * (tall - 14)}`);
  const peak = climb.indexOf(Math.max(...climb));
  const made = svg(host, "svg", { viewBox: `0 0 ${wide} ${tall}`, role: "img", "aria-label": `Effort of each of ${climb.length} beats, highest at beat ${peak + 1}` });
  svg(made, "path", { d: `M${step / 2} ${tall}L${points.join("L")}L${wide - step / 2} ${tall}Z`, class: "slope" });
  svg(made, "path", { d: `M${points.join("L")}`, class: "ridge" });
  svg(made, "path", { d: `M0 ${tall}H${wide}`, class: "base" });
  const [x = "0", y = "0"] = (points[peak] ?? "0 0").split(" ");
  svg(made, "circle", { cx: x, cy: y, r: 5, class: "peak" });
  find("climb-words", HTMLElement).textContent = `The climb, beat by beat: hardest about ${Math.round((100 * (peak + 0.5)) / climb.length)} % of the way in.`;
  find("climb", HTMLElement).hidden = false;
}

/** Minutes that are told are whole ones, and one at least. @param {number} told */
const whole = (told) => Math.max(1, Math.round(told));
/** @param {number} told */
const minutes = (told) => `${whole(told)} ${whole(told) === 1 ? "minute" : "minutes"}`;

async function effort() {
  const fit = await ask("GET", `/api/puzzles/${key}/fit`);
  const { effort } = fit;
  if (!effort) {
    effortWords.textContent = "There is no path to measure.";
    button("reveal").disabled = true;
    return;
  }
  const { least, likely, most } = effort.minutes;
  effortWords.textContent = `${effort.band[0].toUpperCase()}${effort.band.slice(1)}: about ${minutes(likely)} of talk${whole(least) < whole(most) ? `, ${whole(least)} to ${whole(most)}` : ""}.`;
  if (!fit.complete) effortWords.textContent += " The path does not reach the end in the time allowed.";
  if (fit.climb.length > 1) ridge(fit.climb);
  const figures = {
    Beats: effort.beats,
    Steps: effort.steps,
    "Narrow places": effort.narrow,
    "What-ifs": effort.what_ifs,
    "Rules read in": `${Math.round(fit.rules_s)} s`,
    Words: effort.words,
  };
  find("effort", HTMLElement).replaceChildren(
    ...Object.entries(figures).map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, String(value)))),
  );
}

async function reveal() {
  const list = find("path", HTMLElement);
  button("reveal").disabled = true;
  try {
    const path = await ask("GET", `/api/puzzles/${key}/path?reveal=yes`);
    list.replaceChildren(...path.steps.map((/** @type {{written: string}} */ step) => el("li", {}, step.written)));
    list.hidden = false;
    button("reveal").hidden = true;
    list.focus({ preventScroll: true });
  } catch (error) {
    failed("effort-words", error);
    button("reveal").disabled = false;
  }
}

button("reveal").addEventListener("click", reveal);
verdict().catch((error) => failed("verdict-words", error));
effort().catch((error) => failed("effort-words", error));
