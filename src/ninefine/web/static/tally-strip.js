// A tray's strip beside the tally: the piece to be told now, enlarged; marks lead on, keys and hands turn it.

const STEP = 15;
const panel = document.getElementById("strip-panel");
const all = document.getElementById("strip-all");
const picture = document.getElementById("strip-picture");
const number = document.getElementById("strip-number");
const eye = picture.parentElement;
const items = [...all.querySelectorAll("li")];
const turned = new Map(); // piece -> degrees
const sent = new Map(); // slip -> how far it led on
const kept = `ninefine strip ${panel.dataset.tray} ${location.pathname}`;
let now = read();

function read() {
  try {
    return clamp(Number(sessionStorage.getItem(kept)) || 0);
  } catch {
    return 0; // nothing is kept here: it begins with the first
  }
}

function clamp(place) {
  return Math.max(0, Math.min(items.length, Math.round(place)));
}

function go(place) {
  now = clamp(place);
  try {
    sessionStorage.setItem(kept, String(now));
  } catch {
    // it is shown all the same
  }
  show();
}

function show() {
  const done = now >= items.length;
  eye.hidden = done;
  number.replaceChildren(...words(done));
  for (const [place, item] of items.entries()) item.classList.toggle("now", place === now);
  if (done) return;
  const small = items[now].querySelector("img");
  picture.src = small.src;
  picture.alt = small.alt;
  turnTo(turned.get(now) ?? 0);
  const next = items[now + 1]?.querySelector("img");
  if (next) new Image().src = next.src;
}

function words(done) {
  const bold = document.createElement("b");
  bold.textContent = done ? "The strip is at its end" : `Piece ${now + 1}`;
  const rest = done ? `: ${items.length} pieces.` : ` of ${items.length}. ${items[now].querySelector("span").lastChild.textContent.trim()}`;
  return [bold, rest];
}

function turnTo(degrees) {
  turned.set(now, degrees);
  picture.style.transform = degrees ? `rotate(${degrees}deg)` : "";
}

const acts = {
  back: () => go(now - 1),
  on: () => go(now + 1),
  left: () => turnTo((turned.get(now) ?? 0) - STEP),
  right: () => turnTo((turned.get(now) ?? 0) + STEP),
};
const keys = { ArrowUp: "back", ArrowDown: "on", ArrowLeft: "left", ArrowRight: "right" };

document.addEventListener("keydown", (event) => {
  if (!keys[event.key] || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (event.target.closest("textarea, select, input:not(#coin)")) return;
  event.preventDefault();
  acts[keys[event.key]]();
});

panel.addEventListener("click", (event) => {
  const button = event.target.closest("[data-strip]");
  if (button) acts[button.dataset.strip]();
  const item = event.target.closest("li");
  if (!item) return;
  event.preventDefault();
  go(items.indexOf(item));
});

// ---- turned by hand

let grip;
function angle(event) {
  const box = eye.getBoundingClientRect();
  return (Math.atan2(event.clientY - box.top - box.height / 2, event.clientX - box.left - box.width / 2) * 180) / Math.PI;
}
eye.addEventListener("pointerdown", (event) => {
  grip = angle(event) - (turned.get(now) ?? 0);
  eye.setPointerCapture(event.pointerId);
});
eye.addEventListener("pointermove", (event) => {
  if (grip !== undefined) turnTo(angle(event) - grip);
});
for (const end of ["pointerup", "pointercancel"]) {
  eye.addEventListener(end, () => {
    grip = undefined;
  });
}

// ---- what the board does

function ledOn({ do: what, text }) {
  if (what === "undo") return -1;
  if (what === "again") return 1;
  return what === "mark" ? Number(/x(\d+)$/.exec(text)?.[1] || 1) : 0;
}

document.addEventListener("tally-slip", ({ detail }) => {
  const by = ledOn(detail);
  sent.set(detail.slip, by);
  go(now + by);
});
document.addEventListener("tally-refused", ({ detail }) => {
  go(now - (sent.get(detail.slip) ?? 0));
});

document.getElementById("strip-one").hidden = false;
all.open = false;
show();
