/** The plan: what stands, why, what would change, and what is taken. */

import { Refused, ask, button, el, facts, find, tell } from "#app/dom.js";
import { createAlmanac, steps } from "#app/plan/almanac.js";
import { said } from "#app/plan/days.js";
import { wishForm } from "#app/plan/form.js";
import { added, wishes } from "#app/plan/wishes.js";

/** @typedef {import("#app/plan/days.js").Place} Place */
/** @typedef {{sheet: string, key: string, made: boolean, judged: string, places: Place[], waiting: any[], changed: {puzzle: string, kind: string, words: string}[], empty: string[], missed: string[], clash: {wishes: string[], mends: string[], further: boolean} | null}} Told */

/** So many puzzles that wait are shown before all are asked for. */
const SHOWN = 10;

const sheet = find("sheet", HTMLTextAreaElement);
const told = find("told", HTMLElement);
const part = (/** @type {string} */ name) => find(name, HTMLElement);
/** @type {Told} */
let standing = facts().told;
/** @type {string[]} */
const bands = facts().bands;
/** @type {Told} */
let shown = standing;
/** What was pinned and let go by hand since. @type {Map<string, string>} */
let pins = new Map();
/** @type {Set<string>} */
let loose = new Set();
let chosen = "";
let busy = false;

const say = (/** @type {string} */ words) => { part("said").textContent = words; };
const almanac = createAlmanac(part("months"), { choose, place, pin, say });

/** @param {string} words */
const sentence = (words) => `${words.slice(0, 1).toUpperCase()}${words.slice(1)}.`;
/** @param {string} id @param {string[]} lines */
const list = (id, lines) => part(id).replaceChildren(...lines.map((line) => el("li", {}, sentence(line))));

/** @param {Told} plan */
function show(plan) {
  shown = plan;
  almanac.show(plan.places, new Map(plan.changed.map((change) => [change.puzzle, change.kind])));
  const proposed = Boolean(plan.key) && plan.made;
  part("whose").textContent = proposed ? "as it is proposed: nothing is taken yet" : "as it stands on the shelf";
  part("proposal").hidden = !proposed;
  part("judged").textContent = `${plan.judged}.`;
  part("empty").replaceChildren(...plan.empty.map((words) => el("p", {}, sentence(words))));
  const news = plan.changed.filter((change) => change.kind !== "kept").map((change) => change.words);
  list("changes", news.length ? news : ["nothing but its pins and times"]);
  part("missed-part").hidden = !plan.missed.length;
  list("missed", plan.missed);
  const waiting = plan.waiting.length;
  part("waiting-words").textContent = waiting ? `${waiting} ${waiting === 1 ? "puzzle" : "puzzles"} that may air and ${waiting === 1 ? "has" : "have"} no day, the longest waiting first. Take one up and put it on a day.` : plan.places.some((held) => held.puzzle) ? "Every puzzle that may air has its day." : "No puzzle may air yet. Keep its setter's answer on the page Shelf, then plan.";
  const lines = plan.waiting.map((held) => {
    const up = el("button", { type: "button", class: "plain", "aria-label": `Take up ${held.title}` }, held.title);
    up.addEventListener("click", () => almanac.carry({ puzzle: held.puzzle, title: held.title }));
    const line = el("li", {}, up, el("span", { class: "by" }, ` ${held.setter}`), steps(held.level));
    line.addEventListener("pointerdown", (event) => almanac.lift(event, held.puzzle, held.title));
    return line;
  });
  part("waiting").replaceChildren(...lines.slice(0, SHOWN));
  const further = lines.slice(SHOWN);
  part("waiting-more").hidden = !further.length;
  part("waiting-count").textContent = `${further.length} more`;
  part("waiting-others").replaceChildren(...further);
  choose(chosen && almanac.placeOf(chosen) ? chosen : "");
}

/** @param {Place} place */
const whys = (place) => el("ul", { class: "whys" }, ...place.why.map((words) => el("li", {}, sentence(words))));

/** Tell why an episode stands where it stands, and mark where else it could. @param {string} day */
async function choose(day) {
  chosen = day;
  const place = almanac.placeOf(day);
  almanac.mark({});
  document.body.classList.toggle("has-chosen", Boolean(place?.puzzle || place?.why.length));
  const away = el("button", { type: "button", class: "put-away" }, "Close");
  away.addEventListener("click", () => choose(""));
  if (!day || !place || place.state === "empty") {
    const words = day ? `${said(day)}: ${place ? "nothing yet" : "no episode airs on this day"}.` : "Choose an episode in the calendar.";
    part("chosen").replaceChildren(el("p", { class: "under" }, words));
    if (place?.why.length) part("chosen").append(whys(place), el("p", { class: "row" }, away));
    return;
  }
  const doors = el("p", { class: "row" });
  if (place.state === "planned") {
    const up = el("button", { type: "button" }, "Take it up");
    up.addEventListener("click", () => {
      // On a phone the days lie under what is told of this one.
      document.body.classList.remove("has-chosen");
      almanac.carry({ puzzle: place.puzzle, title: place.title });
    });
    const hold = el("button", { type: "button", "aria-pressed": String(place.pinned) }, "Pinned");
    hold.addEventListener("click", () => pin(day));
    doors.append(up, hold);
  }
  doors.append(away);
  const about = [place.setter && `set by ${place.setter}`, place.band, place.families.join(", ")].filter(Boolean).join("; ");
  const elsewhere = el("p", { class: "under" });
  part("chosen").replaceChildren(
    el("p", { class: "line" }, el("a", { class: "to", href: `/shelf/${place.puzzle}` }, place.title)),
    el("p", { class: "under" }, `${said(day)}${place.time ? `, ${place.time}` : ""}; ${about}`),
    whys(place),
    doors, elsewhere,
  );
  if (place.state !== "planned") return;
  try {
    const { breaks } = await ask("POST", "/api/plan/elsewhere", { key: shown.key, day });
    if (chosen !== day) return;
    almanac.mark(breaks);
    const days = Object.entries(breaks);
    const free = days.filter(([, words]) => !words).length;
    elsewhere.replaceChildren(`It could change places with ${free} of ${days.length} other days (○) without breaking a wish.`);
    const hard = days.filter(([, words]) => words);
    if (hard.length) elsewhere.after(el("details", {}, el("summary", {}, "What speaks against the others"), el("ul", {}, ...hard.map(([other, words]) => el("li", {}, `${said(other)}: ${words}.`)))));
  } catch (error) {
    tell(told, error);
  }
}

/** @param {string} puzzle @param {string} day */
function place(puzzle, day) {
  const other = almanac.placeOf(day);
  for (const [held, on] of pins) if (on === day) pins.delete(held);
  if (other?.pinned) loose.add(other.puzzle);
  loose.delete(puzzle);
  pins.set(puzzle, day);
  chosen = day;
  void propose({});
}

/** @param {string} day */
function pin(day) {
  const held = almanac.placeOf(day);
  if (held?.state !== "planned") { say("There is no planned episode to pin."); return; }
  if (held.pinned) {
    pins.delete(held.puzzle);
    loose.add(held.puzzle);
  } else {
    loose.delete(held.puzzle);
    pins.set(held.puzzle, day);
  }
  void propose({});
}

/** Plan anew, and show what would change. @param {{give_way?: boolean, fresh?: boolean}} how */
async function propose(how) {
  if (busy) return;
  busy = true;
  tell(told, "");
  say("Planning…");
  part("clash").hidden = true;
  document.body.classList.add("planning");
  try {
    await written;
    /** @type {Told} */
    const plan = await ask("POST", "/api/plan/propose", {
      sheet: sheet.value, pins: [...pins].map(([puzzle, day]) => ({ puzzle, day })), loose: [...loose], fresh: find("fresh", HTMLInputElement).checked, ...how,
    });
    if (plan.clash) {
      part("clash").hidden = false;
      part("clash-head").textContent = plan.clash.wishes.length === 1 ? "This wish cannot be kept" : "These wishes cannot all be kept";
      list("clashing", plan.clash.wishes);
      list("mends", plan.clash.mends.length ? plan.clash.mends : ["other wishes clash as well, so none of these alone is enough"]);
      part("mends-head").hidden = !plan.clash.mends.length;
      button("give-way").hidden = plan.made;
    }
    if (plan.made) {
      show(plan);
      const count = plan.changed.filter((change) => change.kind !== "kept").length;
      const sheets = plan.places.find((held) => held.pinned && loose.has(held.puzzle));
      say(sheets ? `The sheet of wishes pins ${sheets.title}: remove its [[pin]] there.` : `Proposed: ${count} ${count === 1 ? "change" : "changes"}. ${plan.judged}.`);
    } else {
      show(standing);
      say(plan.clash ? "The wishes clash: see what would mend it." : `${plan.judged}.`);
      pins = new Map();
      loose = new Set();
    }
  } catch (error) {
    say("");
    tell(told, error);
    if (error instanceof Refused) form.blame(error.problems);
    told.scrollIntoView({ block: "nearest" });
  } finally {
    busy = false;
    document.body.classList.remove("planning");
  }
}

/** Show what stands. @param {string} words */
async function again(words) {
  pins = new Map();
  loose = new Set();
  part("clash").hidden = true;
  standing = await ask("GET", "/api/plan");
  sheet.value = standing.sheet;
  await fill();
  show(standing);
  say(words);
  // The button that was pressed may be gone: the keyboard goes to the calendar.
  const day = part("months").querySelector("[tabindex='0']");
  if (day instanceof HTMLElement) day.focus({ preventScroll: true });
}

/** Do something and tell what went wrong. @param {() => Promise<void>} act */
const sure = (act) => async () => {
  tell(told, "");
  try {
    await act();
  } catch (error) {
    say(error instanceof Error ? error.message : String(error));
  }
};

// The wishes are a form; its text says the same, and counts. Of several changes only the last is answered for.
let changes = 0;
/** Settles when the text says what the form says. */
let written = Promise.resolve();
const form = wishForm(part("wishes"), {
  bands,
  changed(held) {
    tell(told, "");
    changes += 1;
    written = write(held, changes);
  },
});

/** @param {import("#app/plan/form.js").Form} held @param {number} change */
async function write(held, change) {
  try {
    const text = (await ask("POST", "/api/plan/sheet", held)).sheet;
    if (change === changes) sheet.value = text;
  } catch (error) {
    if (change === changes) tell(told, error);
  }
}

/** Fill the form from the text, and say whether that could be done. */
async function fill() {
  const change = changes;
  try {
    const next = await ask("POST", "/api/plan/form", { sheet: sheet.value });
    if (change === changes) form.show(next);
    return true;
  } catch (error) {
    tell(told, error);
    return false;
  }
}
sheet.addEventListener("change", () => {
  tell(told, "");
  changes += 1;
  void fill();
});

/** What a wish is likely to be about. */
function about() {
  const here = almanac.placeOf(chosen);
  const some = here?.puzzle ? here : (shown.places.find((held) => held.state === "planned") ?? shown.waiting[0]);
  const day = here?.day ?? shown.places.at(-1)?.day ?? "";
  return { puzzle: some?.puzzle ?? "p1", setter: some?.setter ?? "", day };
}
for (const name of Object.keys(wishes(bands, about()))) {
  const add = el("button", { type: "button", class: "plain" }, name);
  add.addEventListener("click", async () => {
    const wish = wishes(bands, about())[name] ?? "";
    await written;
    sheet.value = added(sheet.value, wish);
    say(`${name}: added. Try these wishes when it says what you mean.`);
    if (await fill()) form.goTo(wish.startsWith("[[effort]]") ? "effort" : "request");
  });
  part("add").append(add);
}

button("replan").addEventListener("click", () => propose({}));
button("try").addEventListener("click", () => propose({}));
button("give-way").addEventListener("click", () => propose({ give_way: true }));
button("take").addEventListener("click", sure(async () => {
  const { episodes } = await ask("POST", "/api/plan/take", { key: shown.key });
  await again(`Taken: ${episodes} ${episodes === 1 ? "episode" : "episodes"} changed. Take back undoes it.`);
  find("fresh", HTMLInputElement).checked = false;
}));
button("drop").addEventListener("click", sure(async () => {
  await again("Left as it was.");
}));
button("undo").addEventListener("click", sure(async () => {
  await ask("POST", "/api/plan/undo");
  await again("The plan that was taken last is taken back.");
}));
if (facts().form) form.show(facts().form);
else {
  find("as-text", HTMLDetailsElement).open = true;
  void fill();
}
show(standing);
