/** The months as grids: one tab stop, arrows by day and week, an episode taken up and put down, or dragged. */

import { el } from "#app/dom.js";
import { later, monthOn, months, said, weekday, WEEKDAYS } from "#app/plan/days.js";

/** @typedef {import("#app/plan/days.js").Place} Place */
/** @typedef {{choose: (day: string) => void, place: (puzzle: string, day: string) => void, pin: (day: string) => void, say: (words: string) => void}} Told */

const SVG = "http://www.w3.org/2000/svg";
/** Pixels that a pointer goes before it drags. */
const FAR = 6;
/** Pixels from the edge at which a dragged episode scrolls the page, and how far it does at a time. */
const EDGE = 70, SCROLL = 14;

/** Draw the effort as steps, from one to five. @param {number} level */
export function steps(level) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 29 12");
  svg.setAttribute("class", "steps-of");
  svg.setAttribute("aria-hidden", "true");
  for (let step = 1; step <= 5; step += 1) {
    const bar = document.createElementNS(SVG, "rect");
    const height = 2 * step + 2;
    for (const [name, value] of Object.entries({ x: 6 * step - 6, y: 12 - height, width: 5, height })) bar.setAttribute(name, String(value));
    bar.setAttribute("class", step <= level ? "full" : "open");
    svg.append(bar);
  }
  return svg;
}

/** @param {Place} place */
function slip(place) {
  const made = el("div", { class: "slip-of" });
  if (place.time) made.append(el("span", { class: "hour" }, place.time));
  if (place.state === "empty") {
    made.append(el("span", { class: "nothing" }, "open"));
    return made;
  }
  made.append(el("span", { class: "name" }, place.title), el("span", { class: "by" }, place.setter), el("span", { class: "unseen" }, place.band));
  const foot = el("span", { class: "foot" }, steps(place.level));
  if (place.state === "stands") foot.append(el("span", {}, "stands"));
  if (place.pinned) foot.append(el("span", { class: "pinned" }, "pinned"));
  made.append(foot);
  return made;
}

/**
 * Make the calendar.
 * @param {HTMLElement} host @param {Told} told
 */
export function createAlmanac(host, told) {
  /** @type {Map<string, HTMLElement>} */
  const cells = new Map();
  /** @type {Map<string, Place>} */
  let places = new Map();
  let at = "";
  /** What is carried. @type {{puzzle: string, title: string} | null} */
  let carried = null;

  /** @param {readonly Place[]} held @param {Map<string, string>} changed what became of each puzzle */
  function show(held, changed) {
    const focused = host.contains(document.activeElement);
    places = new Map(held.map((place) => [place.day, place]));
    cells.clear();
    const now = held.find((place) => place.state !== "stands")?.day.slice(0, 7) ?? "";
    const all = months(held);
    const past = all.filter((month) => month.name < now);
    host.replaceChildren(...all.filter((month) => month.name >= now).map((month) => table(month, changed)));
    if (past.length) {
      const names = past.map((month) => month.title);
      const told = names.length > 1 ? `${names[0]} to ${names.at(-1)}` : names[0];
      host.prepend(el("details", { class: "earlier" }, el("summary", {}, `Earlier: ${told}`), ...past.map((month) => table(month, changed))));
    }
    if (!cells.has(at)) at = held.find((place) => place.state !== "stands")?.day ?? held[0]?.day ?? "";
    cells.get(at)?.setAttribute("tabindex", "0");
    if (focused) cells.get(at)?.focus();
    carry(null);
  }

  /** @param {import("#app/plan/days.js").Month} month @param {Map<string, string>} changed */
  function table(month, changed) {
    const rows = month.weeks.map((week) => el("tr", { role: "row", class: week.some((day) => day?.place) ? "" : "idle" }, ...week.map((day) => {
      if (!day) return el("td", { role: "gridcell", class: "none" });
      const { place } = day;
      const cell = el("td", { role: "gridcell", tabindex: "-1", "data-day": day.day, class: place ? `slot ${place.state}` : "plain-day" });
      cell.append(el("span", { class: "unseen" }, `${said(day.day)}: `), el("span", { class: "number", "aria-hidden": "true" }, el("span", { class: "weekday" }, `${WEEKDAYS[weekday(day.day)]?.slice(0, 3)} `), String(day.number)));
      if (place) {
        cell.append(slip(place));
        const kind = changed.get(place.puzzle);
        if (kind && kind !== "kept") {
          cell.dataset.changed = kind;
          cell.querySelector(".foot")?.append(el("span", { class: "tag" }, kind));
        }
      }
      cells.set(day.day, cell);
      return cell;
    })));
    const head = el("tr", { role: "row" }, ...WEEKDAYS.map((name) => el("th", { role: "columnheader", scope: "col", abbr: name }, name.slice(0, 3))));
    return el("table", { role: "grid", class: "month", "aria-label": month.title }, el("caption", {}, month.title), el("thead", { role: "rowgroup" }, head), el("tbody", { role: "rowgroup" }, ...rows));
  }

  /** @param {string} day */
  function go(day) {
    const cell = cells.get(day);
    if (!cell) return;
    cells.get(at)?.setAttribute("tabindex", "-1");
    at = day;
    cell.setAttribute("tabindex", "0");
    cell.closest("details")?.setAttribute("open", "");
    cell.focus();
    told.choose(day);
  }

  /** @param {{puzzle: string, title: string} | null} what */
  function carry(what) {
    carried = what;
    host.classList.toggle("carrying", Boolean(what));
    for (const cell of cells.values()) cell.toggleAttribute("data-carried", Boolean(what) && places.get(cell.dataset.day ?? "")?.puzzle === what?.puzzle);
    if (what) told.say(`${what.title} is taken up. Choose its day, then press Enter or click.`);
  }

  /** @param {string} day */
  function putDown(day) {
    const place = places.get(day);
    if (!carried || !place || place.state === "stands") {
      told.say("No episode can be put there: choose a day that is open or planned.");
      return;
    }
    const { puzzle } = carried;
    carry(null);
    told.place(puzzle, day);
  }

  /** @param {string} day */
  function takeUp(day) {
    const place = places.get(day);
    if (place?.state === "planned") carry({ puzzle: place.puzzle, title: place.title });
    else told.say(place?.state === "stands" ? "It was recorded or published, and stays." : "There is no episode to take up.");
  }

  /** @type {Record<string, (day: string) => string>} */
  const ways = {
    ArrowLeft: (day) => later(day, -1), ArrowRight: (day) => later(day, 1), ArrowUp: (day) => later(day, -7), ArrowDown: (day) => later(day, 7),
    PageUp: (day) => monthOn(day, -1), PageDown: (day) => monthOn(day, 1),
    Home: (day) => later(day, -weekday(day)), End: (day) => later(day, 6 - weekday(day)),
  };
  /** Give the day to go to; on a narrow page days without an episode are not there. @param {(day: string) => string} way @param {string} from */
  function seen(way, from) {
    const narrow = (/** @type {string} */ day) => cells.get(day)?.offsetParent === null;
    let day = way(from);
    if (!narrow(day)) return day;
    const by = day < from ? -1 : 1;
    while (cells.has(day) && narrow(day)) day = later(day, by);
    return day;
  }

  host.addEventListener("keydown", (event) => {
    const day = event.target instanceof HTMLElement ? event.target.dataset.day : undefined;
    if (!day || event.ctrlKey || event.altKey || event.metaKey) return;
    const way = ways[event.key];
    if (way) go(seen(way, day));
    else if (event.key === "Enter" || event.key === " ") (carried ? putDown : takeUp)(day);
    else if (event.key === "Escape") { if (carried) told.say("Left where it was."); carry(null); }
    else if (event.key.toLowerCase() === "p") told.pin(day);
    else return;
    event.preventDefault();
  });

  /** @param {Event} event */
  const dayOf = (event) => (event.target instanceof Element ? event.target.closest("[data-day]") : null);
  /** @type {{x: number, y: number, puzzle: string, title: string, ghost: HTMLElement | null} | null} */
  let drag = null;
  /** @param {number} x @param {number} y */
  const under = (x, y) => document.elementFromPoint(x, y)?.closest("[data-day]");
  /** Where the pointer is. @type {{x: number, y: number}} */
  let last = { x: 0, y: 0 };
  /** Scroll while something is held near the edge of the window. */
  function scroll() {
    if (!drag?.ghost) return;
    if (last.y < EDGE) scrollBy(0, -SCROLL);
    else if (last.y > innerHeight - EDGE) scrollBy(0, SCROLL);
    requestAnimationFrame(scroll);
  }
  function stop() {
    drag?.ghost?.remove();
    drag = null;
    for (const cell of cells.values()) cell.removeAttribute("data-over");
  }

  /** Begin to drag a puzzle, from a day or from outside. @param {PointerEvent} event @param {string} puzzle @param {string} title */
  function lift(event, puzzle, title) {
    if (event.button === 0 && event.pointerType !== "touch") drag = { x: event.clientX, y: event.clientY, puzzle, title, ghost: null };
  }
  host.addEventListener("pointerdown", (event) => {
    const cell = dayOf(event);
    const place = cell instanceof HTMLElement ? places.get(cell.dataset.day ?? "") : undefined;
    if (place?.state === "planned" && !carried) lift(event, place.puzzle, place.title);
  });
  addEventListener("pointermove", (event) => {
    if (!drag || (!drag.ghost && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < FAR)) return;
    event.preventDefault();
    last = { x: event.clientX, y: event.clientY };
    if (!drag.ghost) {
      drag.ghost = el("div", { class: "ghost", "aria-hidden": "true" }, drag.title);
      document.body.append(drag.ghost);
      carry({ puzzle: drag.puzzle, title: drag.title });
      requestAnimationFrame(scroll);
    }
    drag.ghost.style.translate = `${event.clientX + 8}px ${event.clientY + 8}px`;
    const here = under(event.clientX, event.clientY);
    for (const cell of cells.values()) cell.toggleAttribute("data-over", cell === here);
  });
  addEventListener("pointerup", (event) => {
    if (!drag) return;
    const dragged = Boolean(drag.ghost);
    stop();
    if (!dragged) return;
    const here = under(event.clientX, event.clientY);
    if (here instanceof HTMLElement && here.dataset.day && places.get(here.dataset.day)?.puzzle !== carried?.puzzle) putDown(here.dataset.day);
    carry(null);
    addEventListener("click", (click) => { click.stopPropagation(); click.preventDefault(); }, { capture: true, once: true });
  });
  addEventListener("pointercancel", () => { stop(); carry(null); });
  host.addEventListener("click", (event) => {
    const cell = dayOf(event);
    if (!(cell instanceof HTMLElement) || !cell.dataset.day) return;
    const { day } = cell.dataset;
    if (carried && places.get(day)?.puzzle !== carried.puzzle) putDown(day);
    else go(day);
  });

  return {
    show, go, lift, carry,
    /** Mark what would break on each day; empty for nothing. @param {Record<string, string>} breaks */
    mark(breaks) {
      for (const [day, cell] of cells) {
        if (day in breaks) cell.dataset.breaks = breaks[day] ? "yes" : "no";
        else delete cell.dataset.breaks;
      }
    },
    /** @param {string} day */
    placeOf: (day) => places.get(day),
  };
}
