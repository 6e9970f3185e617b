/** Wishes to begin with, as the sheet has them. */

/**
 * Give wishes by name, ready to be added to a sheet.
 * @param {readonly string[]} bands the bands of effort, the gentlest first
 * @param {{puzzle: string, setter: string, day: string}} about what is chosen on the page, or the first there is
 * @returns {Record<string, string>}
 */
export function wishes(bands, about) {
  const quoted = (/** @type {readonly string[]} */ some) => `[${some.map((name) => JSON.stringify(name)).join(", ")}]`;
  const gentle = quoted(bands.slice(0, 2));
  const hard = quoted(bands.slice(-2));
  return {
    "Gentle first": `[[effort]]\nin = "first 3"\nbands = ${gentle}\nonly = true\n`,
    "One hard a month": `[[effort]]\nin = "each month"\nbands = ${hard}\nleast = 1\nmost = 1\n`,
    "Never two hard in a row": `[[effort]]\nbands = ${hard}\nrest = 1\n`,
    "A puzzle by a day": `[[request]]\npuzzle = ${JSON.stringify(about.puzzle)}\nby = ${about.day}\n`,
    "A setter around a day": `[[request]]\nsetter = ${JSON.stringify(about.setter)}\naround = ${about.day}\nwithin = 7\n`,
  };
}

/** Add a wish at the end of a sheet. @param {string} sheet @param {string} wish */
export const added = (sheet, wish) => `${sheet.trimEnd()}\n\n${wish}`;
