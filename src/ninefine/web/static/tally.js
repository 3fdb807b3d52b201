// The tally board: keys and targets become slips, slips go to the book in order, answers change the page.

import { Keys } from "./tally-keys.js";
import { Pad } from "./tally-pad.js";
import { Queue } from "./tally-queue.js";
import { readOut, tone } from "./tally-sound.js";

const ASK_EVERY = 2500;
const SETTINGS = "ninefine tally settings";
const FIND = new Set(["key", "semi-key", "proof"]);

const find = (id) => document.getElementById(id);
const board = find("board");
const coin = find("coin");
const radios = [...board.querySelectorAll("input[name=word]")];
const formKey = find("mark").elements.form_key.value;
const opened = board.dataset.last;
const entries = new Map(); // slip -> what the keys made of it
let seen = opened;
let told; // what the keys made of the coin that is shown
let ended = false;

const keyed = radios.filter((radio) => radio.dataset.key);
const keys = new Keys(
  Object.fromEntries(keyed.map((radio) => [radio.dataset.key, radio.value])),
  Object.fromEntries([...find("tray").querySelectorAll("button")].map((cell) => [cell.dataset.code, cell.dataset])),
);
const struck = Object.fromEntries(
  keyed.map((radio) => [radio.value, new Map(radio.dataset.struck.split(" ").map(yearAndMints))]),
);
const pad = new Pad(find("pad"), struck, touch);
const queue = new Queue({ named: board.dataset.tally, send, onAnswer, onChange: showQueue });

function yearAndMints(text) {
  const [year, mints] = text.split(":");
  return [Number(year), mints ? mints.split(",") : []];
}

// ---- what the person does

function carry(acts) {
  for (const act of acts) {
    switch (act.do) {
      case "mark":
        act.entry.slip = enter({ do: "mark", word: act.word, text: act.text }, act.entry);
        break;
      case "amend":
        act.entry.slip = enter({ do: "amend", word: act.word, text: act.text, of: act.was.slip }, act.entry);
        break;
      case "undo":
        enter({ do: "undo", ...(act.entry?.slip ? { of: act.entry.slip } : { opened }) });
        break;
      case "again":
        enter({ do: "again", word: keys.word });
        break;
      case "word":
        choose(act.word);
        break;
      case "calm":
        queue.calm();
        break;
      default:
        odd(act.why);
    }
  }
  coin.value = keys.text;
}

function enter(fields, entry) {
  hint("");
  const slip = queue.add(fields);
  document.dispatchEvent(new CustomEvent("tally-slip", { detail: { ...fields, slip } }));
  if (entry) entries.set(slip, entry);
  return slip;
}

function choose(word) {
  keys.word = word;
  for (const radio of radios) radio.checked = radio.value === word;
  for (const form of ["undo", "again"]) find(form).elements.word.value = word;
  pad.show(word);
}

function odd(why) {
  hint(why);
  if (settings.tone) tone("careful");
}

const usualHint = find("coin-hint").innerHTML;
function hint(words) {
  const place = find("coin-hint");
  if (words) place.textContent = words;
  else if (place.innerHTML !== usualHint) place.innerHTML = usualHint;
  place.classList.toggle("look", Boolean(words));
}

function touch(name, value) {
  if (name === "word") carry([{ do: "word", word: value }]);
  else if (name === "coin") carry(keys.touch(keys.word, value, ""));
  else if (name === "apart") carry(keys.touch(keys.word, value, ""));
  else {
    keys.text = "";
    carry(keys.press(name === "undo" ? "Backspace" : " "));
  }
}

document.addEventListener("keydown", (event) => {
  const other = event.target.closest("textarea, select, input:not(#coin):not([type=radio]):not([type=checkbox])");
  const control = event.target.closest("button, a, summary, input[type=checkbox]");
  if (ended || event.isComposing || event.keyCode === 229 || event.altKey || other) return;
  if (event.ctrlKey || event.metaKey) {
    if (event.key.toLowerCase() !== "z" || event.shiftKey) return;
    keys.text = "";
    event.preventDefault();
    carry(keys.press("Backspace"));
    return;
  }
  if (control && (event.key === "Enter" || event.key === " ")) return;
  const acts = keys.press(event.key, event.code);
  if (acts === null) return;
  event.preventDefault();
  carry(acts);
});

// A keyboard on glass sends no keys, only what it would write.
coin.addEventListener("beforeinput", (event) => {
  if (ended || event.isComposing) return;
  event.preventDefault();
  if (event.inputType === "deleteContentBackward") carry(keys.press("Backspace"));
  for (const char of event.data ?? event.dataTransfer?.getData("text") ?? "") carry(keys.press(char) ?? []);
});

board.addEventListener("submit", (event) => {
  const form = event.target;
  event.preventDefault();
  if (form.id === "mark") carry(keys.press("Enter"));
  else if (form.id === "undo") touch("undo");
  else if (form.id === "again") touch("again");
  else {
    const { do: what, of, word, text } = Object.fromEntries(new FormData(form));
    if (what === "amend" && told) carry(keys.putRight(told, text));
    else enter({ do: what, of, ...(word ? { word, text } : {}) });
  }
  rest();
});

for (const radio of radios) {
  radio.addEventListener("change", () => {
    choose(radio.value);
    rest();
  });
}

find("tray").addEventListener("click", (event) => {
  const cell = event.target.closest("button");
  if (cell) carry(keys.press(cell.textContent, cell.dataset.code) ?? []);
});

find("refused").addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button) queue.calm(button.dataset.slip);
});

// Back to the coin, unless that would raise a keyboard over the targets.
function rest() {
  if (!settings.thumb) coin.focus();
}

// ---- the way to the book and back

async function send(slip) {
  const body = new URLSearchParams({ form_key: formKey, seen, opened, ...slip });
  const answer = await fetch(board.dataset.slips, { method: "POST", body, keepalive: true });
  return { status: answer.status, data: answer.status === 200 ? await answer.json() : null };
}

function onAnswer(slip, data) {
  const entry = entries.get(slip.slip);
  entries.delete(slip.slip);
  if (data.fault && entry) keys.forget(entry);
  if (data.fault) document.dispatchEvent(new CustomEvent("tally-refused", { detail: slip }));
  if (data.told) {
    find("tally-told").innerHTML = data.told;
    told = entry;
  }
  if (!data.told) find("tally-told").replaceChildren();
  if (data.told) pad.say(shortly(), data.rank || data.careful);
  else pad.say(data.fault || "Taken back.", data.fault);
  apply(data);
  if (settings.tone) tone(soundOf(slip, data));
  if (settings.spoken) readOut(data.fault ? "not marked" : data.say ?? "taken back");
}

// What is shown of the coin, in the few lines that stand over the targets.
function shortly() {
  const lines = find("tally-told").querySelectorAll(".coin-told, .careful, .check > b, .check li");
  return [...lines].map((line) => line.textContent.trim().replace(/([^.])$/, "$1.")).join(" ");
}

function soundOf(slip, data) {
  if (data.fault) return "refused";
  if (slip.do === "undo") return "undo";
  if (data.rank) return FIND.has(data.rank) ? "find" : "better";
  return data.careful ? "careful" : "coin";
}

function apply(data) {
  seen = String(data.last);
  for (const [name, html] of Object.entries(data.parts ?? {})) find(`tally-${name}`).innerHTML = html;
  if (data.kinds) applyGrids(data.kinds, data.order);
  if (!data.open) end();
}

function applyGrids(kinds, order) {
  const grids = find("tally-grids");
  const held = new Map([...grids.children].map((child) => [child.dataset.kind, child]));
  for (const [kind, html] of Object.entries(kinds)) {
    if (!html) {
      held.get(kind)?.remove();
      continue;
    }
    if (!held.has(kind)) {
      const made = document.createElement("div");
      made.dataset.kind = kind;
      held.set(kind, made);
    }
    held.get(kind).innerHTML = html;
  }
  const wanted = order.map((kind) => held.get(kind));
  if (wanted.some((child, at) => grids.children[at] !== child)) grids.replaceChildren(...wanted);
}

function end() {
  ended = true;
  hint("This tally was ended in another window. Open the page again to read it.");
  for (const one of board.querySelectorAll("input, button")) one.disabled = true;
  find("pad").hidden = true;
}

// What other windows did. Not while own slips are on their way: their answers bring the same.
async function ask() {
  if (ended || !queue.idle || document.visibilityState !== "visible") return;
  try {
    const answer = await fetch(`${board.dataset.news}?${new URLSearchParams({ seen, opened, window: queue.window })}`);
    if (answer.ok) {
      const data = await answer.json();
      if (queue.idle && data.last >= Number(seen)) apply(data);
    }
  } catch {
    return; // nobody answers; the next asking is in a moment
  }
}

function showQueue() {
  const waiting = find("waiting");
  const count = queue.slips.length;
  waiting.hidden = !count || !(queue.tries || queue.stopped || count > 2);
  waiting.classList.toggle("look", Boolean(queue.stopped || queue.tries > 1));
  waiting.textContent = waitingWords(count);
  if (queue.tries || queue.stopped) pad.say(waiting.textContent, true);
  find("refused").replaceChildren(...queue.refused.map(refusal));
}

function waitingWords(count) {
  const coins = count === 1 ? "1 mark waits" : `${count} marks wait`;
  const kept = queue.keeps ? "kept in this browser" : "not kept by this browser: leave the page open";
  if (queue.stopped) return `${coins}, ${kept}: ninefine was started anew or this tally is gone. Open this page again from there.`;
  if (queue.tries) return `${coins}, ${kept}: ninefine does not answer. They are sent as soon as it does.`;
  return `${coins} to be kept.`;
}

function refusal({ slip, word, text, fault }) {
  const line = document.createElement("p");
  const words = document.createElement("span");
  const said = document.createElement("b");
  const button = document.createElement("button");
  said.textContent = `Not marked: ${text ?? "again"} (${word}). `;
  words.append(said, fault);
  button.type = "button";
  button.dataset.slip = slip;
  button.textContent = "Seen";
  line.append(words, button);
  return line;
}

// ---- settings, kept by this browser

const usual = { mixed: board.dataset.mixed === "yes", thumb: matchMedia("(pointer: coarse)").matches, tone: false, spoken: false };
const settings = { ...usual, ...readSettings() };

function readSettings() {
  try {
    return JSON.parse(localStorage.getItem(SETTINGS) ?? "{}");
  } catch {
    return {}; // no settings are kept here: the usual ones hold
  }
}

function writeSettings() {
  const { mixed, ...kept } = settings; // what is on the cloth differs from tally to tally
  try {
    localStorage.setItem(SETTINGS, JSON.stringify(kept));
  } catch {
    return; // they hold until the page is closed
  }
}

function set(name, on) {
  settings[name] = on;
  find(`mode-${name}`).checked = on;
  if (name === "mixed") {
    keys.mixed = on;
    keys.text = coin.value = "";
    find("tray").hidden = !on;
  }
  if (name === "thumb") {
    find("pad").hidden = !on;
    document.body.classList.toggle("thumbed", on);
    coin.inputMode = on ? "none" : "text";
  }
}

find("modes").hidden = false;
for (const name of ["mixed", "thumb", "tone", "spoken"]) {
  set(name, settings[name]);
  find(`mode-${name}`).addEventListener("change", (event) => {
    set(name, event.target.checked);
    writeSettings();
    if (name === "tone" && event.target.checked) tone("coin");
    if (name === "spoken" && event.target.checked) readOut("64 D");
    rest();
  });
}
choose(radios.find((radio) => radio.checked)?.value ?? "dime");
coin.value = keys.text;
queue.adopt();
setInterval(ask, ASK_EVERY);
window.addEventListener("focus", ask);
document.addEventListener("visibilitychange", ask);
// not before the page's own autofocus has been seen to
requestAnimationFrame(() => {
  if (settings.thumb) coin.blur();
  else coin.focus();
  board.dataset.ready = "yes";
});
