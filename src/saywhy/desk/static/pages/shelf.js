/** The shelf: forms that are sent as JSON, doors to the desk, and questions before anything goes. */

import { ask, dropFiles, facts, find, tell } from "#app/dom.js";
import { judgedHere, judgeNext, judgeWaiting } from "#app/shelf/judging.js";
import { offsetHere, sentOf } from "#app/shelf/forms.js";

const TOLD = "saywhy-shelf-told";
const WRONG = "saywhy-shelf-wrong";
const SHORT = 60;
const SHOWN_MS = 8000;
const sure = find("sure", HTMLDialogElement);
const done = find("done", HTMLElement);

/** Where the problems of what was pressed are shown. @param {Element} from */
const problemsOf = (from) => from.closest("form, section")?.querySelector(".problems") ?? done;

/** Say something on the page that comes next. @param {string} words @param {readonly string[]} [wrong] files that were not read */
function tellNext(words, wrong = []) {
  try {
    sessionStorage.setItem(TOLD, words);
    if (wrong.length) sessionStorage.setItem(WRONG, wrong.join("\n"));
  } catch {
    /* Storage is shut: the page itself shows what has changed. */
  }
}

/** Say what the page before had to say; a short word goes by itself, since the page shows what it says. */
function tellNow() {
  try {
    done.textContent = sessionStorage.getItem(TOLD) ?? "";
    sessionStorage.removeItem(TOLD);
    const told = document.getElementById("told");
    const wrong = sessionStorage.getItem(WRONG);
    if (told && wrong) tell(told, new Error(wrong));
    sessionStorage.removeItem(WRONG);
  } catch {
    done.textContent = "";
  }
  if (done.textContent.length < SHORT) setTimeout(() => done.replaceChildren(), SHOWN_MS);
}

/** Ask, if there is a question; true for yes. @param {HTMLElement} from @returns {Promise<boolean>} */
function agreed(from) {
  if (!from.dataset.sure) return Promise.resolve(true);
  find("sure-head", HTMLElement).textContent = from.dataset.sure;
  find("sure-words", HTMLElement).textContent = from.dataset.sureWords ?? "";
  find("sure-yes", HTMLElement).textContent = from.dataset.sureYes ?? "Yes";
  sure.returnValue = "no";
  sure.showModal();
  return new Promise((answer) => {
    sure.onclose = () => answer(sure.returnValue === "yes");
  });
}

/** What is said when it is done, and where to go. @type {Record<string, (answer: any) => [string, string]>} */
const THEN = {
  undone: ({ words }) => [words ? `Taken back: ${words}.` : "There was nothing to take back.", ""],
  copied: ({ path }) => [`A backup is in ${path}`, ""],
  erased: ({ still, copies }) => {
    const named = still.length ? ` Still named in ${still.map((/** @type {any} */ place) => `${place.kind[0]}${place.id} (${place.field})`).join(", ")}.` : "";
    const made = copies.length ? ` Look into the copies made before too: ${copies.map((/** @type {any} */ copy) => copy.path).join(", ")}.` : "";
    return [`Erased.${named}${made}`, "/shelf?list=setters"];
  },
};

/** Send what an element says, and go on. @param {HTMLElement} from @param {unknown} [body] */
async function send(from, body) {
  const { send: method = "POST", to = "", then = "" } = from.dataset;
  const problems = problemsOf(from);
  tell(problems, "");
  done.replaceChildren();
  if (!(await agreed(from))) return;
  try {
    const answer = await ask(method, to, body);
    const [words, place] = THEN[then]?.(answer) ?? [method === "DELETE" ? "It is off the shelf, and can be taken back." : "Kept.", then.endsWith("/s") ? `${then}${answer.id}` : then];
    tellNext(words);
    if (place) location.assign(place);
    else location.reload();
  } catch (error) {
    tell(problems, error);
  }
}

for (const form of document.querySelectorAll("form[data-send]")) {
  if (!(form instanceof HTMLFormElement)) continue;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(form, sentOf(form, offsetHere));
  });
}
for (const press of document.querySelectorAll("button[data-send]")) {
  if (press instanceof HTMLElement) press.addEventListener("click", () => send(press));
}

// A day for an answer: today, until another is chosen.
for (const answer of document.querySelectorAll("input[name=permission]")) {
  answer.addEventListener("change", () => {
    const day = find("said-on", HTMLInputElement);
    if (!day.value) day.value = day.dataset.today ?? "";
  });
}

// Doors to the desk: the puzzle is laid there first.
for (const door of document.querySelectorAll("[data-open]")) {
  if (!(door instanceof HTMLElement)) continue;
  door.addEventListener("click", async () => {
    try {
      const { key } = await ask("POST", `/api/shelf/puzzles/${door.dataset.puzzle}/desk`);
      location.assign(`/${door.dataset.open}/${key}`);
    } catch (error) {
      tell(problemsOf(door), error);
    }
  });
}

/** Put files on the shelf, and go to the one or to the list. @param {File[]} files */
async function bring(files) {
  const told = find("told", HTMLElement);
  tell(told, "");
  /** @type {{id: number, already: boolean}[]} */
  const here = [];
  const wrong = [];
  for (const file of files) {
    try {
      here.push(await ask("POST", "/api/shelf/puzzles", { text: await file.text(), source: file.name.slice(0, 200) }));
    } catch (error) {
      wrong.push(...String(error instanceof Error ? error.message : error).split("\n").map((line) => `${file.name}: ${line}`));
    }
  }
  if (!here.length) return tell(told, wrong.length ? new Error(wrong.join("\n")) : "");
  const names = (/** @type {boolean} */ already) => here.filter((held) => held.already === already).map((held) => `p${held.id}`).join(", ");
  tellNext([names(false) && `New on the shelf: ${names(false)}.`, names(true) && `There already: ${names(true)}.`].filter(Boolean).join(" "), wrong);
  judgeNext(here.filter((held) => !held.already).map((held) => held.id));
  return location.assign(here.length === 1 && !wrong.length ? `/shelf/p${here[0]?.id}` : "/shelf");
}

const chosen = document.getElementById("file");
if (chosen instanceof HTMLInputElement) {
  chosen.addEventListener("change", () => bring([...(chosen.files ?? [])]));
  dropFiles(bring);
}

const mended = document.getElementById("mended");
if (mended instanceof HTMLInputElement) {
  mended.addEventListener("change", async () => {
    const [file] = mended.files ?? [];
    const problems = mended.closest("section")?.querySelector(".problems") ?? done;
    if (!file) return;
    try {
      await ask("PUT", mended.dataset.to ?? "", { text: await file.text(), source: file.name.slice(0, 200) });
      tellNext("The mended file stands in its place.");
      location.reload();
    } catch (error) {
      tell(problems, error);
    }
  });
}

/** Have a puzzle judged that was not yet. @param {number} number */
async function judge(number) {
  try {
    await ask("POST", `/api/shelf/puzzles/${number}/judge`);
    judgedHere(number);
    location.reload();
  } catch (error) {
    tell(problemsOf(find("judged", HTMLElement)), error);
  }
}

tellNow();
const { judge: number = null } = facts();
if (number) judge(number);
else judgeWaiting();
