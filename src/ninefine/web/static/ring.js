// Records six seconds from the microphone as a WAV file and lays it in the form, as if it had been chosen there.

const SECONDS = 6;

const box = document.getElementById("recorder");
const button = document.getElementById("record");
const state = document.getElementById("recording-state");
const loudness = document.getElementById("loudness");
const field = document.getElementById("recording");

if (navigator.mediaDevices && window.AudioWorkletNode && window.DataTransfer) {
  box.hidden = false;
  button.addEventListener("click", record);
}

async function record() {
  button.disabled = true;
  say("Asking for the microphone.");
  try {
    const { samples, rate } = await listen();
    if (!samples.length) throw new Error("the microphone gave no sound");
    lay(wav(samples, rate));
    say(loudest(samples) > 0.99 ? "Recorded, and louder than it can hold: strike softer." : "Recorded. Listen to it, or record again.");
  } catch (error) {
    say(words(error));
  }
  loudness.hidden = true;
  button.disabled = false;
}

async function listen() {
  // what is good for speech spoils a ring
  const plain = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };
  const stream = await navigator.mediaDevices.getUserMedia({ audio: plain });
  const context = new AudioContext();
  try {
    await context.audioWorklet.addModule(box.dataset.tap);
    const tap = new AudioWorkletNode(context, "tap");
    const blocks = [];
    let count = 0;
    await new Promise((resolve, reject) => {
      const wanted = SECONDS * context.sampleRate;
      const late = setTimeout(resolve, (SECONDS + 3) * 1000); // a microphone that falls silent must not hold the page
      tap.port.onmessage = ({ data }) => {
        blocks.push(data);
        count += data.length;
        show(data, count / wanted);
        if (count >= wanted) {
          clearTimeout(late);
          resolve();
        }
      };
      tap.onprocessorerror = () => reject(new Error("the sound could not be read"));
      context.createMediaStreamSource(stream).connect(tap).connect(context.destination);
    });
    tap.port.onmessage = null;
    const samples = new Float32Array(count);
    let at = 0;
    for (const block of blocks) {
      samples.set(block, at);
      at += block.length;
    }
    return { samples, rate: context.sampleRate };
  } finally {
    for (const track of stream.getTracks()) track.stop();
    await context.close();
  }
}

let shown = 0;

function show(block, done) {
  const now = performance.now();
  loudness.value = Math.max(loudness.value * 0.97, loudest(block));
  if (now - shown < 250) return;
  shown = now;
  loudness.hidden = false;
  say(`Recording: ${Math.ceil(SECONDS * (1 - Math.min(1, done)))} s left. Strike now.`);
}

function loudest(samples) {
  let top = 0;
  for (const sample of samples) top = Math.max(top, Math.abs(sample));
  return top;
}

// A RIFF file: one channel of 16-bit samples.
function wav(samples, rate) {
  const bytes = new DataView(new ArrayBuffer(44 + 2 * samples.length));
  const text = (at, said) => [...said].forEach((letter, place) => bytes.setUint8(at + place, letter.charCodeAt(0)));
  text(0, "RIFF");
  bytes.setUint32(4, 36 + 2 * samples.length, true);
  text(8, "WAVEfmt ");
  bytes.setUint32(16, 16, true);
  bytes.setUint16(20, 1, true);
  bytes.setUint16(22, 1, true);
  bytes.setUint32(24, rate, true);
  bytes.setUint32(28, 2 * rate, true);
  bytes.setUint16(32, 2, true);
  bytes.setUint16(34, 16, true);
  text(36, "data");
  bytes.setUint32(40, 2 * samples.length, true);
  samples.forEach((sample, place) => {
    bytes.setInt16(44 + 2 * place, Math.round(32767 * Math.max(-1, Math.min(1, sample))), true);
  });
  return new File([bytes.buffer], "strike.wav", { type: "audio/wav" });
}

function lay(file) {
  const carrier = new DataTransfer();
  carrier.items.add(file);
  field.files = carrier.files;
}

function words(error) {
  if (error.name === "NotAllowedError") return "The browser may not use the microphone. Allow it for this page, or choose a file.";
  if (error.name === "NotFoundError") return "No microphone was found. Choose a file instead.";
  return `It could not be recorded: ${error.message}. Choose a file instead.`;
}

function say(text) {
  state.textContent = text;
}
