import { msToSamples, samplesToMs, type Ms } from '../../../src/units/time.ts';

interface Due {
  readonly at: number;
  readonly order: number;
  readonly call: () => void;
}

/** The only clock of a test tube: samples at 16 kHz from 0 on, moved by hand. What is due is called in order of its time. */
export class SampleClock {
  #now = 0;
  #order = 0;
  #due: Due[] = [];

  /** Samples since the beginning. */
  get now(): number {
    return this.#now;
  }

  get ms(): Ms {
    return samplesToMs(this.#now);
  }

  /** Calls back when the clock reaches sample `at`; at the next move when that is over. Returns what takes it back. */
  at(sample: number, call: () => void): () => void {
    const due = { at: sample, order: (this.#order += 1), call };
    this.#due.push(due);
    return () => {
      this.#due = this.#due.filter((each) => each !== due);
    };
  }

  /** Calls back every `ms` until the returned function is called. */
  every(ms: Ms, call: () => void): () => void {
    let stop: () => void = () => undefined;
    const again = (from: number): void => {
      const next = from + msToSamples(ms);
      stop = this.at(next, () => {
        again(next);
        call();
      });
    };
    again(this.#now);
    return () => stop();
  }

  advance(samples: number): void {
    this.#now += samples;
    for (;;) {
      const next = this.#due
        .filter(({ at }) => at <= this.#now)
        .reduce<Due | undefined>(
          (first, due) => (first === undefined || isBefore(due, first) ? due : first),
          undefined,
        );
      if (next === undefined) return;
      this.#due = this.#due.filter((each) => each !== next);
      next.call();
    }
  }
}

function isBefore(one: Due, other: Due): boolean {
  return one.at < other.at || (one.at === other.at && one.order < other.order);
}
