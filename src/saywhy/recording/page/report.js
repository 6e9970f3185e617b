const facts = JSON.parse(document.getElementById("facts").textContent);
const svg = document.querySelector("#board svg");
const layer = svg.appendChild(document.createElementNS("http://www.w3.org/2000/svg", "g"));
const slider = document.getElementById("moment");
const at = document.getElementById("at");
const why = document.getElementById("why");
const buttons = [...document.querySelectorAll("#moves button")];
const unit = facts.unit;
let moment = 0;
let timer = 0;

function clock(seconds) {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

function draw(tag, attributes, text) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
  if (text !== undefined) made.textContent = text;
  layer.append(made);
}

function paragraph(text, name) {
  const made = document.createElement("p");
  made.textContent = text;
  if (name) made.className = name;
  why.append(made);
}

function show(seconds) {
  moment = Math.max(0, Math.min(seconds, facts.length));
  slider.value = String(moment);
  at.textContent = clock(moment);
  slider.setAttribute("aria-valuetext", clock(moment));
  layer.replaceChildren();
  let board = [];
  for (const [t, held] of facts.boards) {
    if (t > moment + 1e-6) break;
    board = held;
  }
  let last = -1;
  facts.moves.forEach((move, index) => {
    if (move.t <= moment + 1e-6) last = index;
  });
  const now = last < 0 ? null : facts.moves[last];
  for (const cell of now ? now.cells : []) {
    draw("rect", {
      x: (cell % facts.size) * unit + 3, y: Math.floor(cell / facts.size) * unit + 3,
      width: unit - 6, height: unit - 6, class: "f-look s-look-edge", "fill-opacity": .55, "stroke-width": 3,
    });
  }
  for (const [cell, digit, wrong] of board) {
    draw("text", {
      x: (cell % facts.size + .5) * unit, y: (Math.floor(cell / facts.size) + .5) * unit,
      "text-anchor": "middle", "dominant-baseline": "central", "font-size": unit * .6,
      "font-family": "Georgia, serif", class: `digit ${wrong ? "f-result" : "f-placed"}`,
      ...(wrong ? { "text-decoration": "line-through" } : {}),
    }, digit);
  }
  buttons.forEach((made, index) => made.setAttribute("aria-current", String(index === last)));
  why.replaceChildren();
  if (!now) return;
  paragraph(`${clock(now.t)}: ${now.said}, ${now.verdict}`, `v v-${now.verdict}`);
  if (now.reason) paragraph(now.reason);
  if (now.open) paragraph(now.open);
  const made = buttons[last];
  const list = made.closest("ol");
  if (made.offsetTop < list.scrollTop || made.offsetTop > list.scrollTop + list.clientHeight - 60) {
    list.scrollTop = made.offsetTop - 60;
  }
}

function play(on) {
  clearInterval(timer);
  timer = 0;
  document.getElementById("play").setAttribute("aria-pressed", String(on));
  if (!on) return;
  if (moment >= facts.length) show(0);
  timer = setInterval(() => {
    show(moment + 1);
    if (moment >= facts.length) play(false);
  }, 100);
}

slider.addEventListener("input", () => show(Number(slider.value)));
document.getElementById("play").addEventListener("click", () => play(timer === 0));
document.getElementById("before").addEventListener("click", () => show(facts.moves.findLast((move) => move.t < moment - 1e-6)?.t ?? 0));
document.getElementById("after").addEventListener("click", () => show(facts.moves.find((move) => move.t > moment + 1e-6)?.t ?? facts.length));
for (const made of document.querySelectorAll("[data-t]")) made.addEventListener("click", () => show(Number(made.dataset.t)));
show(facts.moves.length ? facts.moves[0].t : 0);
