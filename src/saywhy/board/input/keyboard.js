/** Keys pressed on the board become intents. Single letters act only while the board has the keyboard. */

import { KEYS, pressed } from "#app/board/keys.js";

/**
 * @param {HTMLElement} grid @param {readonly import("#app/board/keys.js").Key[]} further keys of the page
 * @param {{figure: (figure: number) => void, press: (id: string) => void}} intents
 * @returns {() => void} takes the listener away again
 */
export function bindKeyboard(grid, further, intents) {
  const byKey = new Map([...KEYS, ...further].flatMap((key) => key.keys.map((name) => [name, key.id])));
  /** @param {KeyboardEvent} event */
  const listen = (event) => {
    if (event.altKey || event.isComposing) return;
    const digit = figureOf(event);
    const id = digit < 0 ? byKey.get(pressed(event)) : undefined;
    if (digit < 0 && id === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    if (digit >= 0) intents.figure(digit);
    else if (id !== undefined) intents.press(id);
  };
  grid.addEventListener("keydown", listen);
  return () => grid.removeEventListener("keydown", listen);
}

/**
 * Give the figure of a key, -1 if it is none: what the layout types, or the key's place where the layout
 * types figures with Shift.
 * @param {KeyboardEvent} event
 */
function figureOf(event) {
  if (event.ctrlKey || event.metaKey) return -1;
  if (/^\d$/.test(event.key)) return Number(event.key);
  const found = event.shiftKey || event.key.length > 1 ? null : /^Digit(\d)$/.exec(event.code);
  return found ? Number(found[1]) : -1;
}
