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

/** Of 14 readings all were heard with 0.7 % of the sound cut off, 13 with 2.4 % (`tests/bench/README.md`, sound check). */
export const TOO_MUCH_CUT = 0.01;

/** Seconds running in which too much is cut off, before it is told: a burst of air lasts for less than one and reaches into two. */
const SECONDS = 3;

/** Tells when a device cuts off its sound for longer than a valve pops. */
export class CutOffWatch {
  #count = new CutOffCount();
  #taken = 0;
  #seconds = 0;

  /** Takes the next samples, at `rate` Hz. True when too much was cut off in each of the last three seconds. */
  next(samples: Float32Array, rate: number): boolean {
    this.#count.push(samples);
    this.#taken += samples.length;
    if (this.#taken < rate) return false;
    this.#seconds = this.#count.share >= TOO_MUCH_CUT ? this.#seconds + 1 : 0;
    this.#count = new CutOffCount();
    this.#taken = 0;
    return this.#seconds >= SECONDS;
  }
}
