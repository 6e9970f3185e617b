/** The live line of setting and the list of what it offers: look at one on the board, take it, or leave it. */

import { button, el, find } from "#app/dom.js";

/** @typedef {import("#app/draw/draft.js").Draft} Draft */
/** @typedef {{title: string, words: string[], note: string, cells: number[], draft: Draft, picture: any}} Offer */
/** @typedef {{head: string, lines: string[], offers: Offer[]}} Answer */

/**
 * @param {object} page
 * @param {() => Draft} page.draft the drawing as it stands
 * @param {(offer: Offer | null) => void} page.show show an offer on the board; null shows the drawing again
 * @param {(draft: Draft) => void} page.take take a puzzle in place of the drawing
 */
export function offersPanel({ draft, show, take }) {
  const told = find("setting-told", HTMLElement);
  const words = find("setting-words", HTMLElement);
  const list = find("offers", HTMLElement);
  /** @type {WebSocket | null} */
  let socket = null;
  let n = 0;
  /** @type {string | null} */
  let working = null;
  /** @type {Offer[]} */
  let offers = [];
  let shown = -1;
  let verdict = "";
  let seed = 0;

  const clear = () => {
    if (shown >= 0) show(null);
    offers = [];
    shown = -1;
    words.replaceChildren();
    list.replaceChildren();
  };

  const buttons = () => {
    button("mend").disabled = working !== null || !["many", "none"].includes(verdict);
    button("trim").disabled = working !== null || verdict !== "unique";
    button("compose").disabled = working !== null;
    button("halt").hidden = working === null;
  };

  /** @param {string} text */
  const over = (text) => {
    working = null;
    told.textContent = text;
    buttons();
  };

  /** @param {any} message */
  const hear = (message) => {
    if (message.n !== n || working === null) return;
    if (message.progress) {
      const { what, done, of } = message.progress;
      told.textContent = of ? `${what}: ${done} of ${of}` : `${what}…`;
      return;
    }
    /** @type {Answer} */
    const answer = message.answer;
    if (message.working) told.textContent = answer.head;
    else over(message.stopped ? `Stopped. ${answer.offers.length ? answer.head : "Nothing was found so far."}` : answer.head);
    words.replaceChildren(...answer.lines.map((line) => el("li", {}, line)));
    // Those that are there already stay as they are: one of them may be on the board.
    const before = offers.length;
    offers = answer.offers;
    list.append(...offers.slice(before).map((offer, place) => item(offer, before + place)));
  };

  /** @param {Offer} offer @param {number} place */
  const item = (offer, place) => {
    const look = el("button", { type: "button", "aria-pressed": "false", "aria-label": `Show proposal ${place + 1} on the board` }, "Show");
    const use = el("button", { type: "button", class: "strong", "aria-label": `Take proposal ${place + 1}` }, "Take");
    look.addEventListener("click", () => point(shown === place ? -1 : place));
    use.addEventListener("click", () => accept(place));
    const says = offer.words.map((word) => el("p", {}, word));
    const note = offer.note ? [el("p", { class: "under" }, offer.note)] : [];
    return el("li", {}, el("h3", {}, `${place + 1}. ${offer.title}`), ...says, ...note, el("p", { class: "row" }, look, " ", use));
  };

  /** Show an offer on the board; -1 shows the drawing. @param {number} place */
  const point = (place) => {
    shown = place;
    [...list.children].forEach((row, number) => {
      row.toggleAttribute("aria-current", false);
      if (number === place) row.setAttribute("aria-current", "true");
      row.querySelector("button")?.setAttribute("aria-pressed", String(number === place));
    });
    show(offers[place] ?? null);
    if (offers[place]) list.children[place]?.scrollIntoView({ block: "nearest" });
  };

  /** @param {number} place */
  const accept = (place) => {
    const offer = offers[place];
    if (!offer) return;
    clear();
    take(offer.draft);
    told.textContent = `Taken: ${offer.title.toLowerCase()} Undo brings back what was.`;
  };

  /** @param {object} question */
  const send = (question) => {
    const text = JSON.stringify({ n, ...question });
    if (socket?.readyState === WebSocket.OPEN) return socket.send(text);
    socket = new WebSocket(`ws://${location.host}/live/setting`);
    socket.addEventListener("open", () => socket?.send(text), { once: true });
    socket.addEventListener("message", (event) => hear(JSON.parse(event.data)));
    socket.addEventListener("close", () => working !== null && over("The desk does not answer. Start it again with saywhy desk."));
    return undefined;
  };

  /** @param {"repair" | "trim" | "compose"} what */
  const start = (what) => {
    if (button(what === "repair" ? "mend" : what).disabled) return;
    const pasted = find("pasted", HTMLTextAreaElement);
    clear();
    if (what === "compose" && find("anew", HTMLSelectElement).value === "sketch" && !pasted.value.trim()) {
      told.textContent = "No sketch is pasted. Paste one under Paste a file, then press Compose again.";
      return pasted.focus();
    }
    n += 1;
    working = what;
    told.textContent = "At work…";
    buttons();
    const wish = find("wish", HTMLSelectElement).value;
    const solution = what === "repair" ? find("meant", HTMLTextAreaElement).value : "";
    const anew = find("anew", HTMLSelectElement).value;
    const sketch = what === "compose" && anew === "sketch" ? pasted.value : "";
    const wished = what === "compose" && anew === "shapes" ? wishes() : {};
    seed += 1;
    send({ ask: what, draft: draft(), wish, solution, anew, wished, sketch, seed });
    return undefined;
  };

  /** What is wished of new numbers on these shapes; what is left empty is not said. */
  const wishes = () => {
    const givens = find("wished-givens", HTMLInputElement).value;
    const effort = [...find("wished", HTMLFieldSetElement).querySelectorAll("input:checked")].map((box) => box.getAttribute("value"));
    return {
      ...(givens ? { givens: `at most ${Number(givens)}` } : {}),
      ...(effort.length ? { effort } : {}),
      symmetry: find("wished-symmetry", HTMLSelectElement).value,
      pattern: find("wished-pattern", HTMLInputElement).value.trim(),
    };
  };

  const anew = find("anew", HTMLSelectElement);
  const showWishes = () => (find("wished", HTMLFieldSetElement).hidden = anew.value !== "shapes");
  anew.addEventListener("change", showWishes);
  showWishes();

  button("mend").addEventListener("click", () => start("repair"));
  button("trim").addEventListener("click", () => start("trim"));
  button("compose").addEventListener("click", () => start("compose"));
  button("halt").addEventListener("click", () => {
    told.textContent = "Stopping…";
    send({ ask: "stop" });
  });

  return {
    /** The drawing has changed: what was offered for the one before is gone. */
    changed: () => {
      if (working !== null) {
        send({ ask: "stop" });
        n += 1;
        over("");
      }
      clear();
      told.textContent = "";
      verdict = "";
      buttons();
    },
    /** @param {string} found the verdict on the drawing as it stands */
    judged: (found) => {
      verdict = found;
      buttons();
    },
    mendOrTrim: () => start(verdict === "unique" ? "trim" : "repair"),
    next: () => offers.length && point((shown + 1) % offers.length),
    takeShown: () => accept(shown),
  };
}
