/** Ask for a pack, follow its making, look at its parts. */

import { Refused, ask, button, el, facts, find, tell } from "#app/dom.js";
import { offsetHere, sentOf } from "#app/shelf/forms.js";

/** @typedef {{name: string, bytes: number, spoils: boolean, alt: string}} Part */
/** @typedef {{state: string, stage: string, number: number, of: number, problems: import("#app/dom.js").Problem[], parts: Part[]}} State */

const { key, state: first } = facts();
const api = `/api/packs/${key}`;
const form = find("order", HTMLFormElement);
const template = find("template", HTMLTextAreaElement);
const told = find("told", HTMLElement);
const ASK_MS = 400;
/** What is sent where a time stands without its day, so that it is told with all else that is wrong. */
const TIME_ALONE = "a time without its day";

/** @type {Record<string, string>} */
const STAGES = {
  path: "Working out the path…",
  words: "Writing title, description and captions…",
  page: "Making the viewers’ page…",
  pictures: "Drawing the pictures…",
  print: "Setting the sheets for print…",
  stills: "Drawing every beat…",
  walk: "Joining the beats to a walk…",
  mp4: "Filming the walk, MP4…",
  webm: "Filming the walk, WebM…",
  done: "Putting it in its place…",
};

/** The order as the form holds it. */
function order() {
  const data = new FormData(form);
  const text = (/** @type {string} */ name) => String(data.get(name) ?? "").trim();
  const names = ["title", "credit", "how", "link", "licence", "next", "series", "recording"];
  const own = template.value.trim() !== (template.dataset.usual ?? "").trim();
  return {
    ...Object.fromEntries(names.map((name) => [name, text(name)])),
    airs: text("airs") || !text("airs-time") ? String(sentOf(form, offsetHere).airs ?? "") : TIME_ALONE,
    without: data.getAll("without"),
    template: own ? template.value : "",
    path: data.has("path"),
    films: data.getAll("films"),
  };
}

/** The field of the form that a problem is about. @param {import("#app/dom.js").Problem} problem */
function fieldOf(problem) {
  const names = { "--airs": "airs", "--link": "link" };
  const name = names[/** @type {keyof typeof names} */ (problem.field ?? "")] ?? problem.field ?? "";
  return name ? form.querySelector(`[data-field="${CSS.escape(name)}"]`) : null;
}

/** A problem as a sentence or two; what is for the command line is left out. @param {import("#app/dom.js").Problem} problem */
function inWords({ what, mend, line, field }) {
  const place = line ? `Line ${line}: ` : "";
  if (field === "--airs" && !find("airs", HTMLInputElement).value) return "The time has no day. Choose the day, or take the time away.";
  const words = place ? what : `${what[0]?.toUpperCase()}${what.slice(1)}`;
  return `${place}${words}. ${mend.replace(/ ?\(--[^)]*\)/g, "")}.`;
}

/** Show that a field is right as far as is known. @param {Element} field */
function clear(field) {
  field.querySelector(".wrong")?.replaceChildren();
  field.querySelector("[aria-invalid]")?.removeAttribute("aria-invalid");
}

/** Show every problem beside its field and what is left in the list, and go to the first field of the form. @param {import("#app/dom.js").Problem[]} problems */
function blame(problems) {
  const all = [...form.querySelectorAll("[data-field]")];
  all.forEach(clear);
  const rest = problems.filter((problem) => !fieldOf(problem));
  for (const problem of problems) {
    const field = fieldOf(problem);
    if (!field) continue;
    const line = field.querySelector(".wrong");
    if (line) line.textContent = [line.textContent, inWords(problem)].filter(Boolean).join(" ");
    const input = field.querySelector("input:not([type=checkbox]), textarea");
    if (input && input.getAttribute("type") !== "radio") input.setAttribute("aria-invalid", "true");
    field.closest("details")?.setAttribute("open", "");
  }
  const wrong = all.filter((field) => field.querySelector(".wrong")?.textContent);
  const count = wrong.length ? [wrong.length === 1 ? "One field is not right yet; beside it stands why." : `${wrong.length} fields are not right yet; beside each stands why.`] : [];
  told.replaceChildren(...[...rest.map(inWords), ...count].map((line) => el("li", {}, line)));
  const first = wrong[0]?.querySelector("input:not([type=checkbox]), textarea");
  if (first instanceof HTMLElement) first.focus();
}

/** @param {number} bytes */
const sized = (bytes) => (bytes < 1000 ? `${bytes} bytes` : bytes < 1e6 ? `${Math.round(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

/** @param {Part} part @param {string} more */
const line = (part, more) =>
  el("li", {}, el("a", { href: `/packs/${key}/${part.name}${more}`, target: "_blank", rel: "noopener" }, part.name.replace("spoilers/", "")), " ", el("span", { class: "under" }, sized(part.bytes)));

/** @param {string} name */
async function textOf(name) {
  const answer = await fetch(`/packs/${key}/${name}`);
  return answer.ok ? (await answer.text()).trim() : "";
}

/** Show the parts of the pack that stands there. @param {Part[]} parts */
async function showParts(parts) {
  find("pack", HTMLElement).hidden = !parts.length;
  find("no-pack", HTMLElement).hidden = parts.length > 0;
  if (!parts.length) return;
  const picture = find("thumbnail", HTMLImageElement);
  picture.src = `/packs/${key}/pictures/thumbnail.png?${Date.now()}`;
  picture.alt = parts.find((part) => part.name === "pictures/thumbnail.png")?.alt ?? "";
  find("parts", HTMLElement).replaceChildren(...parts.filter((part) => !part.spoils).map((part) => line(part, "")));
  find("spoilers", HTMLElement).replaceChildren(...parts.filter((part) => part.spoils).map((part) => line(part, "?reveal=yes")));
  find("said-title", HTMLElement).textContent = await textOf("words/title.txt");
  find("said", HTMLElement).textContent = await textOf("words/description.txt");
}

/** @param {boolean} on */
function working(on) {
  button("make").disabled = on;
  button("stop").hidden = !on;
  find("making", HTMLElement).hidden = !on;
}

/** Show how the pack stands; ask again while it is made. @param {State} state */
async function show(state) {
  working(state.state === "making");
  if (state.state === "making") {
    find("stage", HTMLElement).textContent = STAGES[state.stage] ?? "Beginning…";
    const part = Math.round((100 * state.number) / state.of);
    find("progress", HTMLElement).setAttribute("aria-valuenow", String(part));
    find("bar", HTMLElement).style.width = `${part}%`;
    setTimeout(() => ask("GET", api).then(show).catch(failed), ASK_MS);
    return;
  }
  if (state.state === "failed") blame(state.problems);
  if (state.state === "stopped") tell(told, "It was stopped; an earlier pack is as it was.");
  await showParts(state.parts);
}

/** @param {unknown} error */
function failed(error) {
  working(false);
  if (error instanceof Refused) blame(error.problems);
  else tell(told, error);
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  blame([]);
  ask("POST", api, order()).then(show).catch(failed);
});
form.addEventListener("input", (event) => {
  const field = event.target instanceof Element ? event.target.closest("[data-field]") : null;
  if (field) clear(field);
  if (![...form.querySelectorAll(".wrong")].some((line) => line.textContent)) told.replaceChildren();
});
button("stop").addEventListener("click", () => {
  ask("DELETE", api).then(show).catch(failed);
});
button("reveal").addEventListener("click", () => {
  find("spoilers", HTMLElement).hidden = false;
  button("reveal").hidden = true;
});
show(first).catch(failed);
