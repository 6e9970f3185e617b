/** The live line of the drawing page: each edit goes out with its number, pictures and verdicts come back. */

const FIRST_WAIT_MS = 200;
const LONGEST_WAIT_MS = 2000;

/**
 * @param {{opened: () => void, heard: (message: any) => void, lost: () => void}} told
 * @returns {(message: {n: number, draft: import("#app/draw/draft.js").Draft, ask: "verdict" | "where"}) => boolean}
 *   sends, and says whether the line was open
 */
export function liveLine(told) {
  /** @type {WebSocket} */
  let socket;
  let wait = FIRST_WAIT_MS;
  const connect = () => {
    socket = new WebSocket(`ws://${location.host}/live/drawing`);
    socket.addEventListener("open", () => {
      wait = FIRST_WAIT_MS;
      told.opened();
    });
    socket.addEventListener("message", (event) => told.heard(JSON.parse(event.data)));
    socket.addEventListener("close", () => {
      told.lost();
      setTimeout(connect, wait);
      wait = Math.min(2 * wait, LONGEST_WAIT_MS);
    });
  };
  connect();
  return (message) => {
    const open = socket.readyState === WebSocket.OPEN;
    if (open) socket.send(JSON.stringify(message));
    return open;
  };
}
