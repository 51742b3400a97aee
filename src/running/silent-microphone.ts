import type { Ms } from '../units/time.ts';

/** No microphone is so quiet, dB re full scale: the noise of 16 bits lies 8 dB below it, and any cab far above. */
const NOTHING_DB = -90;
/** So long nothing at all is no cab. Ours, no source. */
const NOTHING_MS: Ms = 20_000;

const ONLY_THE_TOOL =
  'The microphone hears the tool and nothing else: choose another one in the system’s settings. The check goes on by touch and keyboard.';
const NOTHING =
  'The microphone gives nothing but silence: choose another one, or switch it on. The check goes on by touch and keyboard.';

/** Watches for a microphone that is there and hears nobody: one that is switched off, or takes in what the device plays. */
export class SilentMicrophone {
  #since: Ms | undefined;
  #hearsTool = false;

  /** The level at `at`, and whether the tool speaks and hears itself. Gives what is wrong, in a line, as long as it is. */
  next(level: number, at: Ms, tool: { readonly speaks: boolean; readonly heard: boolean }): string | undefined {
    if (tool.speaks) {
      this.#hearsTool ||= tool.heard;
      // What is left of its own voice is no cab either.
      return this.#line(at);
    }
    if (level > NOTHING_DB) {
      this.#since = undefined;
      this.#hearsTool = false;
    } else this.#since ??= at;
    return this.#line(at);
  }

  #line(at: Ms): string | undefined {
    if (this.#since === undefined || at < this.#since + NOTHING_MS) return undefined;
    return this.#hearsTool ? ONLY_THE_TOOL : NOTHING;
  }
}
