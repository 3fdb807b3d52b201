// Targets for a thumb: denomination, decade, year, mint. The decade stays, so that most coins take two taps.

const SIGNS = { "five-cent": "5c", dime: "10c", quarter: "25c", half: "50c", dollar: "$1" };
const MINTS = ["P", "D", "S", "O", "CC"];

export class Pad {
  // struck: denomination -> Map(year -> mints); act(name, value) carries a tap out
  constructor(root, struck, act) {
    this.root = root;
    this.struck = struck;
    this.act = act;
    this.word = "";
    this.decade = "";
    this.digit = "";
    this.rows = {};
    this.told = element("p", "told", "");
    root.append(this.told);
    for (const name of ["words", "decades", "digits", "mints", "more"]) {
      this.rows[name] = element("div", `targets ${name}`, "");
      this.rows[name].setAttribute("role", "group");
      root.append(this.rows[name]);
    }
    this.#fill("words", Object.keys(SIGNS).map((word) => [word, SIGNS[word], () => act("word", word)]));
    this.#fill("more", [
      ["undo", "Undo", () => act("undo")],
      ["again", "Again", () => act("again")],
      ["n", "No silver", () => act("apart", "n")],
      ["-", "No date", () => act("apart", "-")],
    ]);
    this.#fill("mints", MINTS.map((mint) => [mint, mint, () => this.#mint(mint)]));
  }

  show(word) {
    if (word !== this.word) {
      this.word = word;
      this.digit = "";
      const decades = this.#decades();
      if (!decades.includes(this.decade)) this.decade = decades.includes("194") ? "194" : decades.at(-1) ?? "";
      this.#fill("decades", decades.map((decade) => [decade, `${decade}0s`, () => this.#choose({ decade, digit: "" })]));
    }
    this.#fill("digits", [..."0123456789"].map((digit) => [digit, this.decade ? this.decade.slice(2) + digit : digit, () => this.#choose({ digit })]));
    this.#draw();
  }

  say(words, look) {
    this.told.textContent = words;
    this.told.classList.toggle("look", Boolean(look));
  }

  #years() {
    return this.struck[this.word] ?? new Map();
  }

  #decades() {
    return [...new Set([...this.#years().keys()].map((year) => String(year).slice(0, 3)))];
  }

  #choose(part) {
    Object.assign(this, part);
    if ("decade" in part) this.show(this.word);
    this.#draw();
  }

  #mint(mint) {
    if (!this.digit) {
      this.say("Tap the year first.", true);
      return;
    }
    const date = this.decade + this.digit;
    this.digit = "";
    this.act("coin", date + mint.toLowerCase());
    this.#draw();
  }

  #draw() {
    const here = this.#years().get(Number(this.decade + this.digit));
    this.#mark("words", (name) => [name === this.word, false]);
    this.#mark("decades", (name) => [name === this.decade, false]);
    this.#mark("digits", (name) => [name === this.digit, !this.#years().has(Number(this.decade + name))]);
    this.#mark("mints", (name) => [false, Boolean(this.digit && here?.length && !here.includes(name))]);
  }

  #mark(row, how) {
    for (const button of this.rows[row].children) {
      const [chosen, faint] = how(button.dataset.name);
      button.setAttribute("aria-pressed", String(chosen));
      button.classList.toggle("faint", faint);
    }
  }

  #fill(row, targets) {
    this.rows[row].replaceChildren(
      ...targets.map(([name, words, act]) => {
        const button = element("button", "", words);
        button.type = "button";
        button.dataset.name = name;
        button.addEventListener("click", act);
        return button;
      }),
    );
  }
}

function element(tag, css, words) {
  const made = document.createElement(tag);
  made.className = css;
  made.textContent = words;
  return made;
}
