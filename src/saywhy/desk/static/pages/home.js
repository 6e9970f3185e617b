/** The desk: bring puzzles in, take them off. */

import { ask, button, dropFiles, el, find, tell } from "#app/dom.js";

const told = find("told", HTMLElement);
const pasted = find("pasted", HTMLTextAreaElement);
const chosen = find("file", HTMLInputElement);

/** Lay puzzles on the desk, and go to the first. @param {{name: string, text: string}[]} texts */
async function bring(texts) {
  tell(told, "");
  /** @type {string[]} */
  const keys = [];
  for (const { name, text } of texts) {
    try {
      const { draft } = await ask("POST", "/api/read", { text });
      keys.push((await ask("POST", "/api/puzzles", draft)).key);
    } catch (error) {
      const lines = error instanceof Error ? error.message.split("\n") : [String(error)];
      told.append(...lines.map((line) => el("li", {}, name ? `${name}: ${line}` : line)));
    }
  }
  if (!keys.length || told.children.length) return;
  location.assign(keys.length === 1 ? `/fit/${keys[0]}` : "/");
}

/** @param {File[]} files */
const bringFiles = async (files) =>
  bring(await Promise.all(files.map(async (file) => ({ name: file.name, text: await file.text() }))));

button("take").addEventListener("click", () => bring([{ name: "", text: pasted.value }]));
chosen.addEventListener("change", () => bringFiles([...(chosen.files ?? [])]));
dropFiles(bringFiles);

const sure = find("sure", HTMLDialogElement);
for (const drop of document.querySelectorAll("[data-drop]")) {
  if (!(drop instanceof HTMLElement)) continue;
  drop.addEventListener("click", () => {
    find("sure-words", HTMLElement).textContent = `${drop.dataset.title} goes; recordings of it stay.`;
    sure.returnValue = "no";
    sure.showModal();
    sure.onclose = async () => {
      if (sure.returnValue !== "yes") return;
      try {
        await ask("DELETE", `/api/puzzles/${drop.dataset.drop}`);
        location.reload();
      } catch (error) {
        tell(told, error);
      }
    };
  });
}
