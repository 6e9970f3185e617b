/** Begin a recording, or bring one in. */

import { ask, dropFiles, facts, find, tell } from "#app/dom.js";

const { key } = facts();
const told = find("told", HTMLElement);

find("begin", HTMLFormElement).addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const blind = find("blind", HTMLInputElement).checked;
    const made = await ask("POST", "/api/recordings", { puzzle: key, blind });
    location.assign(`/stage/${made.key}${find("clear", HTMLInputElement).checked ? "?ground=clear" : ""}`);
  } catch (error) {
    tell(told, error);
  }
});

/** @param {File[]} files */
async function bring(files) {
  const told = find("told-file", HTMLElement);
  tell(told, "");
  try {
    for (const file of files) await ask("POST", "/api/recordings/import", { puzzle: key, text: await file.text() });
    if (files.length) location.reload();
  } catch (error) {
    tell(told, error);
  }
}

const chosen = find("file", HTMLInputElement);
chosen.addEventListener("change", () => bring([...(chosen.files ?? [])]));
dropFiles(bring);
