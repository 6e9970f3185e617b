/** What every page needs of the document and of the desk. */

/**
 * Find an element that the page is sure to have.
 * @template {Element} T @param {string} name @param {new () => T} kind @returns {T}
 */
export function find(name, kind) {
  const found = document.getElementById(name);
  if (!(found instanceof kind)) throw new Error(`the page has no ${name}`);
  return found;
}

/** Find a button by its id. @param {string} name */
export const button = (name) => find(name, HTMLButtonElement);

/**
 * Make an element; text is always text.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} name @param {Record<string, string>} [attributes] @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function el(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

/** What the server gave this page. @returns {any} */
export const facts = () => JSON.parse(document.getElementById("facts")?.textContent ?? "{}");

/** Read a picture that came as text. @param {string} text @returns {Element} */
export const svgOf = (text) => new DOMParser().parseFromString(text, "image/svg+xml").documentElement;

/** The picture that stands in the page before the board is made. @param {HTMLElement} host */
export const pictureIn = (host) => host.querySelector("svg");

/** @typedef {{what: string, mend: string, field?: string | null, clue?: number | null, line?: number | null}} Problem */

/** Say a problem in a line: where in the text that was sent, what, and how to mend it. @param {Problem} problem */
function inWords({ what, mend, field, line }) {
  const place = line ? `Line ${line}${field ? `, ${field}` : ""}: ` : "";
  return `${place || what.charAt(0).toUpperCase()}${place ? what : what.slice(1)}. ${mend}.`;
}

/** A refusal of the desk. */
export class Refused extends Error {
  /** @param {Problem[]} problems @param {number} [status] of HTTP; 0 where nobody answered */
  constructor(problems, status = 0) {
    super(problems.map(inWords).join("\n"));
    this.problems = problems;
    this.status = status;
  }
}

/**
 * Ask the desk.
 * @param {string} method @param {string} path @param {unknown} [body] @returns {Promise<any>}
 */
export async function ask(method, path, body) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      ...(body === undefined ? {} : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
    });
  } catch {
    throw new Refused([{ what: "The desk does not answer", mend: "Start it again with `saywhy desk`" }]);
  }
  const json = answer.headers.get("content-type")?.startsWith("application/json");
  if (answer.ok && json) return answer.json();
  if (json) throw new Refused((await answer.json()).problems, answer.status);
  throw new Refused([{ what: (await answer.text()).trim().replace(/\.$/, ""), mend: "Then come back to this page" }], answer.status);
}

/** Show problems in a list, each a line; an empty list clears it. @param {Element} list @param {unknown} error */
export function tell(list, error) {
  const lines = error instanceof Error ? error.message.split("\n") : error ? [String(error)] : [];
  list.replaceChildren(...lines.map((line) => el("li", {}, line)));
}

/** Give minutes and seconds as a clock shows them. @param {number} seconds */
export function clockFace(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return hours ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
}

/** Let files be dropped anywhere on the page. @param {(files: File[]) => void} take */
export function dropFiles(take) {
  const over = (/** @type {DragEvent} */ event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    document.body.classList.add("dropping");
  };
  const away = () => document.body.classList.remove("dropping");
  addEventListener("dragover", over);
  addEventListener("dragleave", away);
  addEventListener("drop", (event) => {
    away();
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    take([...event.dataTransfer.files]);
  });
}
