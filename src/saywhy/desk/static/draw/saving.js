/** Saving a drawing: in place of the form that it began from, or as another puzzle where that was changed or taken away. */

import { Refused, ask, el, find } from "#app/dom.js";

/** @typedef {import("#app/draw/draft.js").Draft} Draft */

const DOORS = [["fit", "Fit to air?"], ["rehearse", "Rehearse"], ["record", "Record"], ["pack", "Pack"]];

/**
 * @param {{key: string, form: string}} begun the puzzle, and the form of it, that the drawing began from; no key for none
 * @param {{draft: () => Draft, saved: (draft: Draft, key: string) => void}} page
 */
export function saver(begun, page) {
  let held = begun;
  const line = find("saved", HTMLElement);

  /** Save, and say whether it could be done. @param {"here" | "another" | "over"} [how] */
  async function save(how = "here") {
    const draft = page.draft();
    const own = how !== "another" && held.key !== "";
    try {
      held = own
        ? await ask("PUT", `/api/puzzles/${held.key}`, { ...draft, form: how === "over" ? "" : held.form })
        : await ask("POST", "/api/puzzles", draft);
    } catch (error) {
      line.textContent = error instanceof Error ? error.message : String(error);
      const status = own && error instanceof Refused ? error.status : 0;
      if (status === 404 || status === 409) line.append(" ", choice("Save as another puzzle", "another"));
      if (status === 409) line.append(" ", choice("Save over it", "over"));
      return false;
    }
    page.saved(draft, held.key);
    const doors = DOORS.flatMap(([path, name], place) => [place ? ", " : "", el("a", { href: `/${path}/${held.key}` }, name ?? "")]);
    line.replaceChildren("Saved. Go on: ", ...doors, ".");
    return true;
  }

  /** @param {string} words @param {"another" | "over"} how */
  function choice(words, how) {
    const made = el("button", { type: "button", class: "plain" }, words);
    made.addEventListener("click", () => save(how));
    return made;
  }

  return save;
}
