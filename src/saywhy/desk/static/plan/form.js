/** The wishes as a form: days, rests, efforts, what was asked for and pins, each control a field of the sheet. */

import { el } from "#app/dom.js";
import { daysOff, stretch, stretchOf } from "#app/plan/stretches.js";

/** @typedef {Record<string, any>} Fields one table of the sheet, by its own names */
/** @typedef {{cadence: Fields, rest: Fields, effort: Fields[], request: Fields[], pin: Fields[]}} Form */

const WEEKDAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/**
 * @param {HTMLElement} host
 * @param {{bands: readonly string[], changed: (form: Form) => void}} page
 */
export function wishForm(host, { bands, changed }) {
  /** @type {Form} */
  let form = { cadence: {}, rest: {}, effort: [], request: [], pin: [] };
  const told = () => changed(form);
  const again = () => {
    build();
    told();
  };

  /** A label and its input. @param {string} words @param {HTMLElement} input @param {string} [after] */
  function field(words, input, after = "") {
    input.setAttribute("aria-label", `${words} ${after}`.trim());
    return el("label", { class: "wish-field" }, el("span", {}, words), input, ...(after ? [el("span", {}, after)] : []));
  }

  /**
   * An input that writes a field.
   * @param {string} type @param {string} value @param {(value: string) => void} set @param {Record<string, string>} [more]
   */
  function input(type, value, set, more = {}) {
    const made = el("input", { type, value, autocomplete: "off", ...more });
    made.addEventListener("change", () => set(made.value.trim()));
    return made;
  }

  /** @param {Fields} of @param {string} name @param {number | null} empty what no number stands for @param {number} [least] */
  const number = (of, name, empty, least = 0) =>
    input("number", of[name] === empty || of[name] === undefined ? "" : String(of[name]), (value) => {
      of[name] = value === "" ? empty : Number(value);
      told();
    }, { min: String(least), inputmode: "numeric" });

  /** @param {Fields} of @param {string} name */
  const day = (of, name) => input("date", of[name] ?? "", (value) => {
    of[name] = value || null;
    told();
  });

  /** @param {string} words @param {boolean} on @param {(on: boolean) => void} set */
  function tick(words, on, set) {
    const box = el("input", { type: "checkbox" });
    box.checked = on;
    box.addEventListener("change", () => set(box.checked));
    return el("label", {}, box, ` ${words}`);
  }

  /** A tick that is in a list or not. @param {string} words @param {string[]} list @param {string} name @param {(list: string[]) => void} set */
  const among = (words, list, name, set) => tick(words, list.includes(name), (on) => set(on ? [...list, name] : list.filter((held) => held !== name)));

  /** @param {Fields} of */
  const mayGiveWay = (of) => tick("may give way", of.firm === false, (on) => {
    of.firm = !on;
    told();
  });

  /** @param {string} owner its name in what is told of a sheet @param {string} words @param {...(Node | string)} held */
  const part = (owner, words, ...held) => el("fieldset", { "data-owner": owner }, el("legend", {}, words), ...held);

  /** A part that can be taken away. @param {"effort" | "request"} table @param {number} at @param {string} words @param {...Node} held */
  function card(table, at, words, ...held) {
    const away = el("button", { type: "button", class: "plain", "aria-label": `Remove: ${words}` }, "Remove");
    away.addEventListener("click", () => {
      form[table].splice(at, 1);
      again();
      host.querySelector("input")?.focus();
    });
    return part(`${table} ${at + 1}`, words, ...held, el("p", { class: "row" }, mayGiveWay(form[table][at] ?? {}), away));
  }

  function days() {
    const of = form.cadence;
    const weekdays = /** @type {string[]} */ (of.weekdays ?? []);
    const every = input("number", of.every === null || of.every === undefined ? "" : String(of.every), (value) => {
      of.every = value === "" ? null : Number(value);
      if (of.every !== null) of.weekdays = null;
      again();
    }, { min: "1", inputmode: "numeric" });
    const ticks = WEEKDAYS.map((name) => among(`${name.slice(0, 1).toUpperCase()}${name.slice(1, 3)}`, weekdays, name, (list) => {
      of.weekdays = list.length ? WEEKDAYS.filter((held) => list.includes(held)) : null;
      if (list.length) of.every = null;
      again();
    }));
    const time = input("time", (of.at ?? "").slice(0, 5), (value) => {
      of.at = value ? `${value}:00` : null;
      told();
    });
    const zone = input("text", of.zone ?? "UTC", (value) => {
      of.zone = value || "UTC";
      told();
    }, { maxlength: "60" });
    return part("cadence", "Days",
      field("From", day(of, "first"), of.first ? "" : "today, where none is named"),
      el("div", { class: "ticks", role: "group", "aria-label": "Weekdays" }, ...ticks),
      field("or every", every, "days"),
      field("Episodes", number(of, "episodes", null, 1)), field("or until", day(of, "until")),
      field("At", time), field("Time zone", zone),
      tick("days may stay empty", of.gaps === true, (on) => {
        of.gaps = on;
        told();
      }),
      off(of));
  }

  /** Days without an episode. @param {Fields} of */
  function off(of) {
    const held = /** @type {string[]} */ (of.skip ?? []);
    const lines = held.map((words, at) => {
      const [first, last] = daysOff(words);
      const set = (/** @type {string} */ one, /** @type {string} */ other) => {
        held[at] = other && other !== one ? `${one} to ${other}` : one;
        told();
      };
      const from = input("date", first, (value) => value && set(value, to.value));
      const to = input("date", last, (value) => set(from.value, value));
      const away = el("button", { type: "button", class: "plain", "aria-label": `Remove days off ${at + 1}` }, "Remove");
      away.addEventListener("click", () => {
        held.splice(at, 1);
        again();
      });
      return el("p", { class: "row" }, field("Off from", from), field("to", to), away);
    });
    const add = el("button", { type: "button", class: "plain" }, "Add days off");
    add.addEventListener("click", () => {
      of.skip = [...held, of.first ?? new Date().toISOString().slice(0, 10)];
      again();
      [...host.querySelectorAll("[data-owner='cadence'] p.row")].at(-1)?.querySelector("input")?.focus();
    });
    return el("div", {}, ...lines, add);
  }

  function rests() {
    const of = form.rest;
    const lines = [["setter", "A setter rests for"], ["family", "A family of rules for"]].map(([name = "", words = ""]) =>
      el("p", { class: "row" }, field(words, number(of, name, 0), "episodes"), among("may give way", of["give-way"] ?? [], name, (list) => {
        of["give-way"] = list;
        again();
      })));
    return part("rest", "Rests", ...lines);
  }

  /** @param {Fields} of @param {number} at */
  function effort(of, at) {
    const where = stretchOf(of.in ?? "all");
    const put = () => {
      of.in = stretch(where);
      told();
    };
    const kind = el("select", {}, ...[["all", "the whole series"], ["first", "its first episodes"], ["last", "its last episodes"], ["each month", "each month"], ["each week", "each week"], ["days", "some days"]].map(([value = "", words = ""]) => el("option", { value }, words)));
    kind.value = where.kind;
    kind.addEventListener("change", () => {
      where.kind = kind.value;
      of.in = stretch(where);
      again();
      /** @type {HTMLElement | null} */ (host.querySelector(`[data-owner="effort ${at + 1}"] select`))?.focus();
    });
    const more = where.kind === "first" || where.kind === "last"
      ? [field("how many", input("number", String(where.many), (value) => { where.many = Number(value) || 1; put(); }, { min: "1", inputmode: "numeric" }))]
      : where.kind === "days"
        ? [field("from", input("date", where.from, (value) => { where.from = value; put(); })), field("to", input("date", where.to, (value) => { where.to = value; put(); }))]
        : [];
    const goes = el("select", {}, ...[["", "as it may"], ["up", "up: never falls"], ["down", "down: never rises"]].map(([value = "", words = ""]) => el("option", { value }, words)));
    goes.value = of.goes ?? "";
    goes.addEventListener("change", () => {
      of.goes = goes.value || null;
      told();
    });
    return card("effort", at, `Effort ${at + 1}`,
      field("In", kind), ...more,
      el("div", { class: "ticks", role: "group", "aria-label": "Of these bands" }, ...bands.map((band) => among(band, of.bands ?? [], band, (list) => {
        of.bands = list.length ? bands.filter((held) => list.includes(held)) : null;
        again();
      }))),
      field("at least", number(of, "least", 0)), field("at most", number(of, "most", null)), field("others between two", number(of, "rest", 0)),
      tick("only these", of.only === true, (on) => {
        of.only = on;
        told();
      }),
      field("It goes", goes));
  }

  /** @param {Fields} of @param {number} at */
  function request(of, at) {
    const text = (/** @type {string} */ name) => input("text", of[name] ?? "", (value) => {
      of[name] = value;
      told();
    }, { maxlength: "200" });
    return card("request", at, `Asked for ${at + 1}`,
      field("Puzzle", text("puzzle")), field("or any by", text("setter")),
      field("on", day(of, "on")), field("around", day(of, "around")), field("within", number(of, "within", null), "days"),
      field("not before", day(of, "not-before")), field("by", day(of, "by")));
  }

  function pins() {
    const lines = form.pin.map((of, at) => {
      const away = el("button", { type: "button", class: "plain", "aria-label": `Remove the pin of ${of.puzzle}` }, "Remove");
      away.addEventListener("click", () => {
        form.pin.splice(at, 1);
        again();
      });
      return el("p", { class: "row" }, `${of.puzzle} on ${of.on}`, away);
    });
    return lines.length ? [part("pin", "Pinned in the sheet", ...lines)] : [];
  }

  function build() {
    // What has the keyboard keeps it: the same place of the form is built again.
    const place = [...host.querySelectorAll("input, select, button")].indexOf(/** @type {Element} */ (document.activeElement));
    host.replaceChildren(days(), rests(), ...form.effort.map(effort), ...form.request.map(request), ...pins());
    if (place >= 0) /** @type {HTMLElement | undefined} */ ([...host.querySelectorAll("input, select, button")][place])?.focus();
  }

  return {
    /** @param {Form} next */
    show(next) {
      form = next;
      build();
    },
    /** Give the keyboard to the wish of a kind that was added last. @param {"effort" | "request"} table */
    goTo(table) {
      const last = host.querySelector(`[data-owner="${table} ${form[table].length}"]`);
      /** @type {HTMLElement | null | undefined} */ (last?.querySelector("select, input"))?.focus();
    },
    /** Say beside each part what is wrong with it. @param {readonly {what: string, mend: string, field?: string | null}[]} problems */
    blame(problems) {
      for (const line of host.querySelectorAll(".wrong")) line.remove();
      for (const { what, mend, field: name } of problems) {
        const owner = (name ?? "").split(",")[0] ?? "";
        host.querySelector(`[data-owner="${CSS.escape(owner)}"]`)?.append(el("p", { class: "wrong" }, `${what.slice(0, 1).toUpperCase()}${what.slice(1)}. ${mend}.`));
      }
    },
  };
}
