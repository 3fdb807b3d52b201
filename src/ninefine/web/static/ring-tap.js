// Runs beside the sound: hands each block of samples from the microphone to the page.

class Tap extends AudioWorkletProcessor {
  process(inputs) {
    const channel = inputs[0][0];
    if (channel) this.port.postMessage(channel.slice(0));
    return true;
  }
}

registerProcessor("tap", Tap);
