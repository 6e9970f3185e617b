/** How a sheet of wishes writes stretches of a series and days off. Pure. */

/** @typedef {{kind: string, many: number, from: string, to: string}} Stretch */

/** Read a stretch: `all`, `each month`, `each week`, `first 3`, `last 3` or two days. @param {string} text @returns {Stretch} */
export function stretchOf(text) {
  const [, end, many] = /^(first|last) (\d+)$/.exec(text) ?? [];
  if (end) return { kind: end, many: Number(many), from: "", to: "" };
  const [, from = "", to = ""] = /^(\S+) to (\S+)$/.exec(text) ?? [];
  return { kind: from ? "days" : text, many: 3, from, to };
}

/** Write a stretch. @param {Stretch} held */
export function stretch({ kind, many, from, to }) {
  if (kind === "days") return `${from} to ${to}`;
  return kind === "first" || kind === "last" ? `${kind} ${many}` : kind;
}

/** Read days off: the first and the last; no last where there is one day. @param {string} text @returns {[string, string]} */
export function daysOff(text) {
  const [first = "", last = ""] = text.split(" to ");
  return [first, last];
}
