// Slips on their way to the book: kept by the browser until the book has them, sent one after another in order, and
// sent again whenever an answer is lost. The book counts a slip once however often it comes.

const WAITS = [500, 1000, 2000, 4000];

export class Queue {
  // named: what tells this tally from any other; send(slip) answers {status, data} or throws where nothing answers
  constructor({ named, send, onAnswer, onChange }) {
    this.window = [...crypto.getRandomValues(new Uint8Array(6))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    this.stem = `ninefine tally ${named} `;
    this.send = send;
    this.onAnswer = onAnswer;
    this.onChange = onChange;
    this.slips = [];
    this.refused = [];
    this.number = 0;
    this.tries = 0;
    this.stopped = "";
    this.busy = false;
    this.keeps = true;
  }

  // Take over what windows that are gone had not yet brought to the book. Answers how many slips.
  async adopt() {
    const live = await liveWindows(this.window);
    for (const key of this.#keys()) {
      if (key === this.stem + this.window || live.has(key.slice(this.stem.length))) continue;
      const left = JSON.parse(localStorage.getItem(key));
      this.slips.push(...left.slips);
      this.refused.push(...left.refused);
      this.#keep();
      localStorage.removeItem(key);
    }
    this.onChange();
    this.#pump();
    return this.slips.length;
  }

  add(fields) {
    const slip = { slip: `${this.window}.${++this.number}`, ...fields };
    this.slips.push(slip);
    this.#keep();
    this.onChange();
    this.#pump();
    return slip.slip;
  }

  // What was refused has been read.
  calm(slip) {
    this.refused = slip ? this.refused.filter((one) => one.slip !== slip) : [];
    this.#keep();
    this.onChange();
  }

  // Whether nothing is on its way.
  get idle() {
    return !this.slips.length;
  }

  async #pump() {
    if (this.busy || this.stopped || !this.slips.length) return;
    this.busy = true;
    const slip = this.slips[0];
    const { status, data } = await this.#sent(slip);
    this.busy = false;
    if (status === 200) {
      this.tries = 0;
      this.#done(slip, data);
    } else if (status && status < 500) {
      this.stopped = String(status);
    } else {
      this.tries += 1; // nobody answered, or not as it should: the slip stays first in line
      setTimeout(() => this.#pump(), WAITS[Math.min(this.tries, WAITS.length) - 1]);
    }
    this.onChange();
    if (status === 200) this.#pump();
  }

  async #sent(slip) {
    try {
      return await this.send(slip);
    } catch {
      return { status: 0 };
    }
  }

  #done(slip, data) {
    this.slips.shift();
    if (data.fault && slip.do !== "undo") this.refused.push({ slip: slip.slip, word: slip.word, text: slip.text, fault: data.fault });
    this.#keep();
    this.onAnswer(slip, data);
  }

  #keep() {
    const key = this.stem + this.window;
    try {
      if (this.slips.length || this.refused.length) {
        localStorage.setItem(key, JSON.stringify({ slips: this.slips, refused: this.refused }));
      } else {
        localStorage.removeItem(key);
      }
    } catch {
      this.keeps = false; // the browser keeps nothing; the page says so while slips are on their way
    }
  }

  #keys() {
    try {
      return Object.keys(localStorage).filter((key) => key.startsWith(this.stem));
    } catch {
      this.keeps = false;
      return [];
    }
  }
}

// The windows that are open now. Each holds a lock of its name for as long as it lives, however it ends.
async function liveWindows(own) {
  if (!navigator.locks) return new Set();
  navigator.locks.request(`ninefine window ${own}`, () => new Promise(() => {}));
  const { held } = await navigator.locks.query();
  return new Set(held.map((lock) => lock.name.replace("ninefine window ", "")));
}
