/**
 * The line to a recording on the desk. What is pushed is sent at once, and counts as kept when the desk says
 * that it is on disk. Until then it also lies in the browser's own storage, so that neither a crash of the
 * page nor one of the desk loses it.
 */

/** @typedef {import("#app/board/types.js").Act} Act */

/** Codes of the desk's refusals; after them there is no use in trying again. */
const FINAL = new Set([4001, 4004, 4009]);
const FIRST_WAIT_MS = 200;
const LONGEST_WAIT_MS = 2000;

/**
 * @param {string} key of the recording
 * @param {{opened: (acts: Act[]) => void, kept: (waiting: number) => void, lost: (reason: string) => void}} told
 *   `opened`: the acts so far, once, or again where another window has written; `kept`: how many acts wait;
 *   `lost`: the line is closed for good
 */
export function recordingLink(key, told) {
  const shelf = `saywhy-waiting-${key}`;
  /** @type {Act[]} */
  let acts = [];
  let saved = 0;
  let open = false;
  let known = false;
  let wait = FIRST_WAIT_MS;
  /** @type {WebSocket} */
  let socket;

  const shelve = () => {
    try {
      if (acts.length > saved) localStorage.setItem(shelf, JSON.stringify({ after: saved, acts: acts.slice(saved) }));
      else localStorage.removeItem(shelf);
    } catch {
      /* Storage is shut or full: the line alone must do. */
    }
  };
  const send = () => {
    if (open && acts.length > saved) socket.send(JSON.stringify({ after: saved, acts: acts.slice(saved) }));
  };
  /** @param {{saved: number, acts?: Act[], problems?: {what: string}[]}} message */
  const hear = (message) => {
    if (message.acts) {
      open = true;
      wait = FIRST_WAIT_MS;
      const waiting = known ? acts.slice(message.saved) : shelved(shelf, message.saved);
      const other = known && message.saved > acts.length;
      acts = [...message.acts, ...waiting];
      saved = message.saved;
      if (!known || other) told.opened(acts);
      known = true;
      send();
    } else if (message.problems) {
      told.lost(message.problems.map((problem) => problem.what).join("; "));
    } else saved = Math.max(saved, message.saved);
    shelve();
    told.kept(acts.length - saved);
  };
  const connect = () => {
    socket = new WebSocket(`ws://${location.host}/live/recordings/${key}`);
    socket.addEventListener("message", (event) => hear(JSON.parse(event.data)));
    socket.addEventListener("close", (event) => {
      open = false;
      if (FINAL.has(event.code)) return told.lost(event.reason);
      told.kept(acts.length - saved);
      setTimeout(connect, wait);
      wait = Math.min(2 * wait, LONGEST_WAIT_MS);
    });
  };
  connect();
  return {
    /** Add acts to the recording. @param {Act[]} more */
    push(more) {
      const first = acts.length;
      acts = [...acts, ...more];
      shelve();
      // What is on its way already is not sent twice; the desk counts.
      if (open) socket.send(JSON.stringify({ after: first, acts: more }));
      told.kept(acts.length - saved);
    },
    /** All acts so far. */
    get acts() {
      return acts;
    },
    /** Whether the desk hears. */
    get open() {
      return open;
    },
  };
}

/** Give what an earlier page of this recording left unsaved. @param {string} shelf @param {number} saved @returns {Act[]} */
function shelved(shelf, saved) {
  try {
    const held = JSON.parse(localStorage.getItem(shelf) ?? "null");
    return held && held.after <= saved ? held.acts.slice(saved - held.after) : [];
  } catch {
    return [];
  }
}
