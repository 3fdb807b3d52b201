// What keys mean at the tally board: a machine of text and keys, with no page and no network in it.
//
// A press answers acts for the board to carry out:
//   {do: "mark", word, text, times}   a coin
//   {do: "amend", word, text, entry}  the last coin, put right
//   {do: "undo", entry}               the last coin taken back; without an entry, whatever stood before
//   {do: "again"}                     one more of what stood before this window marked anything
//   {do: "word", word}                another denomination
//   {do: "calm"}                      what was refused has been read
//   {do: "odd", why}                  a key that says nothing here

const DATED = /^(?:\d\d|y\d{4})$/;
const SHORT = /^(?:\d|y\d{0,3})$/;
const SUFFIX = /^(?:\d\d|y\d{4})?[x/]/;
const MINTS = new Set(["p", "d", "s", "o", "w"]);

export class Keys {
  // words: key -> denomination; tray: code -> {word, mint}
  constructor(words, tray) {
    this.words = words;
    this.tray = tray;
    this.word = "";
    this.mixed = false;
    this.text = "";
    this.made = [];
    this.afterCarson = false;
  }

  // The acts of a key; null where the key is none of the board's.
  press(key, code = "") {
    const carson = this.afterCarson;
    this.afterCarson = false;
    if (key === "Enter") return this.#enter();
    if (key === "Escape") return this.#escape();
    if (key === "Backspace") return this.#backspace();
    if ([...key].length !== 1) return null;
    const char = key.toLowerCase();
    if (carson && char === "c") return []; // the second c of a habit
    return this.#type(char, code);
  }

  // A coin said by targets: its denomination, two digits and a mint's letter.
  touch(word, digits, mint) {
    this.text = "";
    return [this.#mark(word, digits + mint)];
  }

  // A coin put right by its whole text, wherever it stands among those made.
  putRight(entry, text) {
    const at = this.made.lastIndexOf(entry);
    if (at < 0) return [{ do: "odd", why: "That coin was taken back." }];
    return [this.#replace(at, text.replace(/x\d+$/, ""), Number(/v(\d*)$/.exec(text)?.[1] || 0))];
  }

  // A slip was refused: what it marked is not there to be counted up or amended; what it was to replace still is.
  forget(entry) {
    const at = this.made.lastIndexOf(entry);
    if (at >= 0) this.made.splice(at, 1, ...(entry.was ? [entry.was] : []));
  }

  #type(char, code) {
    if (this.mixed && (DATED.test(this.text) || /^[n-]$/.test(this.text))) return this.#fromTray(code);
    if (SUFFIX.test(this.text)) return this.#suffix(char);
    if (DATED.test(this.text)) return this.#dated(char, code);
    if (SHORT.test(this.text)) {
      if (!/\d/.test(char)) return [{ do: "odd", why: "Two digits of the year first." }];
      this.text += char;
      return [];
    }
    return this.#fresh(char);
  }

  #fresh(char) {
    if (/[\dyx/]/.test(char)) {
      this.text = char;
      return [];
    }
    if (char === "n" || char === "-") {
      if (this.mixed) {
        this.text = char;
        return [];
      }
      return [this.#mark(this.word, char)];
    }
    if (char === " " || char === "+") return [this.#again()];
    if (char === "v") return [this.#variety()];
    if (!this.mixed && this.words[char]) {
      this.word = this.words[char];
      return [{ do: "word", word: this.word }];
    }
    return [{ do: "odd", why: "A coin begins with two digits of its year." }];
  }

  #dated(char, code) {
    if (MINTS.has(char)) return [this.#mark(this.word, this.text + char)];
    if (char === "c") {
      this.afterCarson = true;
      return [this.#mark(this.word, `${this.text}cc`)];
    }
    if (char === "v") return [this.#mark(this.word, `${this.text}v`)];
    if (char === "x" || char === "/") {
      this.text += char;
      return [];
    }
    if (char === " ") return [this.#mark(this.word, this.text)];
    if (/[\dyn+-]/.test(char) || this.words[char]) {
      const coin = this.#mark(this.word, this.text);
      return [coin, ...this.#type(char, code)];
    }
    return [{ do: "odd", why: "No mint has that letter." }];
  }

  #fromTray(code) {
    const cell = this.tray[code];
    if (!cell) return [{ do: "odd", why: "A key of the grid says denomination and mint." }];
    const dated = DATED.test(this.text);
    return [this.#mark(cell.word, this.text + (dated ? cell.mint : ""))];
  }

  #suffix(char) {
    const times = this.text.includes("x") && !this.text.includes("/");
    if (times ? /\d/.test(char) : /[a-z ]/.test(char)) {
      this.text += char;
      return [];
    }
    return [{ do: "odd", why: times ? "A number, then Enter." : "The beginning of a design's name, then Enter." }];
  }

  #enter() {
    const text = this.text;
    if (text.startsWith("x")) return this.#countUp(Number(text.slice(1)));
    if (text.startsWith("/")) return this.#amend((last) => last.date + text);
    if (!text) return [];
    if (this.mixed) return [{ do: "odd", why: "A key of the grid says denomination and mint." }];
    if (DATED.test(text) || SUFFIX.test(text)) return [this.#mark(this.word, text)];
    return [{ do: "odd", why: "Two digits of the year first." }];
  }

  #escape() {
    if (!this.text) return [{ do: "calm" }];
    this.text = "";
    return [];
  }

  #backspace() {
    if (this.text) {
      this.text = this.text.slice(0, -1);
      return [];
    }
    return [{ do: "undo", entry: this.made.pop() }];
  }

  #mark(word, typed) {
    const text = typed.replace(/^y/, "");
    const times = Number(/x(\d+)$/.exec(text)?.[1] ?? 1);
    const coin = text.replace(/x\d*$/, "");
    this.text = "";
    // `own`: pieces of this mark; `times`: of it and those before that it counts up
    const entry = { word, coin, date: coin.replace(/[v/].*$/, ""), varieties: /v$/.test(coin) ? 1 : 0, own: times, times };
    this.made.push(entry);
    return { do: "mark", word, text, entry };
  }

  #again() {
    const last = this.made.at(-1);
    if (!last) return { do: "again" };
    const act = this.#mark(last.word, last.coin);
    Object.assign(act.entry, { varieties: last.varieties, times: last.times + 1 });
    return act;
  }

  #countUp(all) {
    this.text = "";
    const last = this.made.at(-1);
    if (!last) return [{ do: "odd", why: "There is no coin yet to count up." }];
    const more = all - last.times;
    if (!(more > 0)) return [{ do: "odd", why: `${last.times} of it are marked already.` }];
    const act = this.#mark(last.word, `${last.coin}x${more}`);
    Object.assign(act.entry, { varieties: last.varieties, times: all });
    return [act];
  }

  #variety() {
    return this.#amend((last) => `${last.date}v${last.varieties + 1}`, true)[0];
  }

  #amend(say, variety = false) {
    this.text = "";
    const last = this.made.at(-1);
    if (!last) return [{ do: "odd", why: "There is no coin yet to put right." }];
    return [this.#replace(this.made.length - 1, say(last), variety ? last.varieties + 1 : 0)];
  }

  #replace(at, coin, varieties) {
    const was = this.made[at];
    const entry = { ...was, coin, varieties, times: was.own, was };
    this.made[at] = entry;
    return { do: "amend", word: was.word, text: coin + (was.own > 1 ? `x${was.own}` : ""), entry, was };
  }
}
