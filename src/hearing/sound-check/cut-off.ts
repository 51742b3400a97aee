/** Just under the largest value of 16 bits. */
const FULL_SCALE = 0.9999;
/** So many at full scale in a row are a cut-off top; two may be one true peak. */
const RUN = 3;

/** Counts the samples of a device that are cut off at full scale; at the device's own rate, since every filter rounds the cut tops. */
export class CutOffCount {
  #run = 0;
  #cut = 0;
  #all = 0;

  /** Takes the next samples. */
  push(samples: Float32Array): void {
    this.#all += samples.length;
    for (const sample of samples) {
      this.#run = Math.abs(sample) >= FULL_SCALE ? this.#run + 1 : 0;
      if (this.#run === RUN) this.#cut += RUN;
      else if (this.#run > RUN) this.#cut += 1;
    }
  }

  /** Share of all samples so far, 0 to 1. */
  get share(): number {
    return this.#all === 0 ? 0 : this.#cut / this.#all;
  }
}
