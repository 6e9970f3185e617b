/** Puzzles that were brought in are judged one after the other, on whichever list of the shelf is open. */

import { ask } from "#app/dom.js";

const WAITING = "saywhy-shelf-judge";

/** @returns {number[]} */
function waiting() {
  try {
    return JSON.parse(sessionStorage.getItem(WAITING) ?? "[]");
  } catch {
    return [];
  }
}

/** @param {readonly number[]} numbers */
function keep(numbers) {
  try {
    sessionStorage.setItem(WAITING, JSON.stringify(numbers));
  } catch {
    /* Storage is shut: each is judged when its own page is opened. */
  }
}

/** Have puzzles judged on the pages that come. @param {readonly number[]} numbers */
export const judgeNext = (numbers) => keep([...new Set([...waiting(), ...numbers])]);

/** A puzzle was judged on its own page. @param {number} number */
export const judgedHere = (number) => keep(waiting().filter((each) => each !== number));

/** Judge what waits, and bring the list up to date after each. */
export async function judgeWaiting() {
  for (let [number] = waiting(); number !== undefined; [number] = waiting()) {
    const line = document.querySelector(`[data-line="${number}"]`);
    if (line) line.textContent = line.textContent?.replace("not judged yet", "being judged…") ?? "";
    try {
      await ask("POST", `/api/shelf/puzzles/${number}/judge`);
    } catch {
      // It was taken off meanwhile, or the desk is shut: its own page says so.
    }
    judgedHere(number);
    await renew();
  }
}

/** Put what the desk says now in the place of what it said before, without loading the page anew. */
async function renew() {
  const answer = await fetch(location.href).catch(() => null);
  if (!answer?.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const line of document.querySelectorAll("[data-line], #deeds")) {
    const name = line instanceof HTMLElement && line.dataset.line;
    const next = fresh.querySelector(name ? `[data-line="${name}"]` : "#deeds");
    if (next) line.replaceWith(next);
  }
}
