// Any rate to 16 kHz, as a stream: a windowed-sinc low-pass (Blackman, 24 crossings each side of 7.6 kHz), evaluated
// where each new sample falls.
const OUT = 16000;

export class Resampler {
  constructor(rate) {
    this.step = rate / OUT;
    this.cut = Math.min(0.95 * OUT / 2, 0.95 * rate / 2) / rate;
    this.half = Math.ceil(24 / (2 * this.cut));
    this.past = new Float32Array(2 * this.half);
    this.next = this.half;
    const fine = 64;
    this.fine = fine;
    this.table = new Float32Array(this.half * fine + fine + 1);
    for (let i = 0; i < this.table.length; i++) {
      const x = i / fine, u = x / this.half;
      const sinc = x === 0 ? 2 * this.cut : Math.sin(2 * Math.PI * this.cut * x) / (Math.PI * x);
      this.table[i] = u >= 1 ? 0 : sinc * (0.42 + 0.5 * Math.cos(Math.PI * u) + 0.08 * Math.cos(2 * Math.PI * u));
    }
  }

  push(block) {
    if (this.step === 1) return toWhole(block);
    const all = new Float32Array(this.past.length + block.length);
    all.set(this.past);
    all.set(block, this.past.length);
    const out = [];
    while (this.next + this.half < all.length) {
      const first = Math.ceil(this.next - this.half), last = Math.floor(this.next + this.half);
      let sum = 0;
      for (let i = Math.max(0, first); i <= last; i++) sum += all[i] * this.table[Math.round(Math.abs(i - this.next) * this.fine)];
      out.push(sum);
      this.next += this.step;
    }
    const keep = Math.min(all.length, Math.floor(this.next) - this.half - 1);
    const from = Math.max(0, keep);
    this.past = all.slice(from);
    this.next -= from;
    return toWhole(out);
  }
}

function toWhole(samples) {
  const whole = new Int16Array(samples.length);
  for (let i = 0; i < samples.length; i++) whole[i] = Math.max(-32768, Math.min(32767, Math.round(samples[i] * 32767)));
  return whole;
}
