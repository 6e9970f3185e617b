import { createBoard } from "#app/board/api.js";
import { replay } from "#app/board/replay.js";

const facts = JSON.parse(document.getElementById("facts").textContent);
const host = document.getElementById("board");
const printed = { ...facts.picture, picture: host.querySelector("svg") };
replay(createBoard(host, printed, { label: host.dataset.label, locked: true }), facts);
