// What is heard of a coin: a short tone, or its date read out. Off until the person asks for it.

const TONES = {
  coin: [[660, 0.05]],
  careful: [[440, 0.09], [440, 0.09]],
  better: [[660, 0.07], [880, 0.09]],
  find: [[660, 0.09], [880, 0.09], [1100, 0.2]],
  refused: [[220, 0.16], [165, 0.22]],
  undo: [[520, 0.05], [390, 0.06]],
};

let context;

export function tone(name) {
  context ??= new AudioContext();
  context.resume();
  let at = context.currentTime;
  for (const [pitch, length] of TONES[name]) {
    const voice = context.createOscillator();
    const gain = context.createGain();
    voice.frequency.value = pitch;
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(0.12, at + 0.008);
    gain.gain.linearRampToValueAtTime(0, at + length);
    voice.connect(gain).connect(context.destination);
    voice.start(at);
    voice.stop(at + length);
    at += length + 0.02;
  }
}

export function readOut(words) {
  speechSynthesis.cancel(); // the latest coin is the one that matters
  const said = new SpeechSynthesisUtterance(words);
  said.lang = "en-US";
  said.rate = 1.3;
  speechSynthesis.speak(said);
}
