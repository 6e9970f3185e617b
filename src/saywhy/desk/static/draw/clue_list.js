/** The list of clues: their cells, their fields, and what is wrong with each. */

import { el } from "#app/dom.js";

/** @typedef {import("#app/draw/draft.js").Clue} Clue */
/** @typedef {import("#app/draw/tools.js").Rule} Rule */

/** @type {Record<string, string>} */
const FIELDS = { value: "Value", digits: "Digits", pill: "Pill of", count: "Reach" };

/** So many clues of a long list are shown, the last ones, until all are asked for. */
const LAST = 8;

/** Give cells in short: a long list by its ends. @param {Clue} clue */
export function shortCells(clue) {
  if (clue.groups?.length) return `${clue.groups.length} groups`;
  const cells = clue.cells ?? [];
  return cells.length > 4 ? `${cells[0]} … ${cells.at(-1)}, ${cells.length} cells` : cells.join(" ");
}

/**
 * @param {HTMLElement} list
 * @param {{change: (place: number, change: Partial<Clue>) => void, left: () => void, remove: (place: number) => void, light: (place: number | null) => void}} intents
 * @param {Map<string, Rule>} rules
 */
export function clueList(list, intents, rules) {
  let shown = "";
  let all = false;
  const more = el("button", { type: "button", class: "plain", "aria-controls": list.id });
  more.addEventListener("click", () => {
    all = !all;
    fold();
  });
  list.before(more);
  /** Show clues, and problems by clue. @param {readonly Clue[]} clues @param {ReadonlyMap<number, string>} wrong */
  return (clues, wrong) => {
    const key = JSON.stringify(clues.map((clue) => [clue.rule, clue.cells, clue.groups]));
    if (key !== shown) list.replaceChildren(...clues.map((clue, place) => item(clue, place)));
    shown = key;
    [...list.children].forEach((node, place) => {
      for (const input of node.querySelectorAll("input")) {
        const value = fieldText(clues[place], input.name);
        if (input !== document.activeElement && input.value !== value) input.value = value;
      }
      const line = node.querySelector(".wrong");
      if (line) line.textContent = wrong.get(place) ?? "";
    });
    fold();
  };

  /** Put the first clues of a long list away, but for those with a problem and the one that is being written. */
  function fold() {
    const items = [...list.children];
    const away = items.length > LAST + 2 ? items.length - LAST : 0;
    items.forEach((node, place) => {
      const busy = node.querySelector(".wrong")?.textContent || node.contains(document.activeElement);
      node.toggleAttribute("hidden", !all && place < away && !busy);
    });
    more.hidden = !away;
    more.textContent = all ? `Show the last ${LAST} alone` : `Show all ${items.length}`;
    more.setAttribute("aria-expanded", String(all));
  }

  /** @param {Clue} clue @param {number} place */
  function item(clue, place) {
    const rule = rules.get(clue.rule);
    const name = `${rule?.title ?? clue.rule}, clue ${place + 1}`;
    const node = el("li", {}, el("strong", {}, rule?.title ?? clue.rule), el("span", { class: "where" }, shortCells(clue)));
    for (const field of rule?.takes ?? []) {
      const input = el("input", { name: field, "aria-label": `${FIELDS[field] ?? field} of ${name}`, placeholder: FIELDS[field] ?? field, inputmode: "numeric", autocomplete: "off", value: fieldText(clue, field) });
      input.addEventListener("input", () => intents.change(place, fieldOf(field, input.value)));
      input.addEventListener("blur", intents.left);
      node.append(input);
    }
    const away = el("button", { type: "button", class: "plain", "aria-label": `Remove ${name}` }, "Remove");
    away.addEventListener("click", () => intents.remove(place));
    node.append(away, el("p", { class: "wrong" }));
    for (const [event, on] of /** @type {const} */ ([["pointerenter", true], ["pointerleave", false], ["focusin", true], ["focusout", false]])) {
      node.addEventListener(event, () => intents.light(on ? place : null));
    }
    return node;
  }
}

/** Say what a clue still waits for, in the words of its fields; nothing where it waits for none. @param {Clue | undefined} clue @param {Rule | undefined} rule */
export function awaited(clue, rule) {
  const missing = rule?.needs.find((field) => fieldText(clue, field) === "");
  return missing ? `${FIELDS[missing] ?? missing} is not written yet: write it in the field above.` : "";
}

/** @param {Clue | undefined} clue @param {string} field */
function fieldText(clue, field) {
  const held = /** @type {Record<string, unknown>} */ (clue ?? {})[field];
  return Array.isArray(held) ? held.join(" ") : held === null || held === undefined ? "" : String(held);
}

/** Read what was typed into a field; what is no number counts as not given. @param {string} field @param {string} text @returns {Partial<Clue>} */
export function fieldOf(field, text) {
  const words = text.trim().split(/[\s,]+/).filter((word) => /^\d{1,6}$/.test(word));
  if (field === "digits") {
    const parts = words.length === 1 && !text.includes(" ") ? [...(words[0] ?? "")] : words;
    return { digits: parts.map(Number) };
  }
  return { [field]: words.length ? Number(words[0]) : null };
}
