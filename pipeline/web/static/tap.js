// Runs beside the page: hands on the sound of the microphone as it comes, a tenth of a second at a time.
class Tap extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(Math.round(sampleRate / 10));
    this.at = 0;
  }
  process(inputs) {
    const channels = inputs[0];
    if (!channels.length) return true;
    for (let i = 0; i < channels[0].length; i++) {
      let sum = 0;
      for (const channel of channels) sum += channel[i];
      this.block[this.at++] = sum / channels.length;
      if (this.at === this.block.length) {
        this.port.postMessage(this.block.slice());
        this.at = 0;
      }
    }
    return true;
  }
}
registerProcessor("tap", Tap);
