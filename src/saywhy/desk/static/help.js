/** The help sheet: written from the tables of keys, so that it cannot say anything else than the keyboard does. */

import { KEYS, printedKey } from "#app/board/keys.js";
import { button, el, find } from "#app/dom.js";

/** Keys of figures, which are not in the table. */
const FIGURES = { id: "figure", keys: ["1", "9"], says: "Write with the pen in hand; the same again takes it away", group: "Write" };
const TENS = { id: "tens", keys: ["0"], says: "Then a figure: ten and that much more", group: "Write" };

/**
 * Fill the sheet and open it by its button and by "?".
 * @param {readonly import("#app/board/keys.js").Key[]} further keys of the page
 * @param {{size: number, without?: readonly string[], says?: Record<string, string>}} about ids that this page does not
 *   have, and what others do here instead
 */
export function helpSheet(further, { size, without = [], says = {} }) {
  const dialog = find("help", HTMLDialogElement);
  const keys = [...KEYS, FIGURES, ...(size > 9 ? [TENS] : []), ...further]
    .filter((key) => !without.includes(key.id))
    .map((key) => ({ ...key, says: says[key.id] ?? key.says }));
  const groups = [...new Set(keys.map((key) => key.group))];
  const body = find("help-body", HTMLElement);
  body.className = "help";
  body.replaceChildren(
    ...groups.map((group) =>
      el("section", {}, el("h3", {}, group), el("dl", {}, ...lines(keys.filter((key) => key.group === group), size).flatMap(entry))),
    ),
  );
  const open = () => dialog.showModal();
  button("help-button").addEventListener("click", open);
  return open;
}

/** Put keys that say the same on one line. @param {readonly import("#app/board/keys.js").Key[]} keys @param {number} size */
function lines(keys, size) {
  /** @type {Map<string, string[]>} */
  const found = new Map();
  for (const key of keys) {
    const shown = key.id === "figure" ? [`1 to ${Math.min(size, 9)}`] : key.keys.map(printedKey);
    found.set(key.says, [...(found.get(key.says) ?? []), ...shown]);
  }
  return [...found];
}

/** @param {[string, string[]]} line */
const entry = ([says, names]) => [el("dt", {}, ...names.map((name) => el("kbd", {}, name))), el("dd", {}, says)];
