import { isTone, SWEEP } from './tones.ts';
import type { Speaker, Timers } from './voice.ts';
import { textOf } from './wording.ts';

/** The parts of `speechSynthesis` that are used, so that tests can play the browser. */
export type Synthesis = Pick<SpeechSynthesis, 'getVoices' | 'speak' | 'cancel' | 'speaking'>;

export const HOST_TIMERS: Timers = {
  set: (action, ms) => Number(setTimeout(action, ms)),
  clear: (id) => clearTimeout(id),
};

/**
 * The English voice to use: one that works offline before one that needs a network, the system's own choice before the
 * others. Undefined when there is none.
 */
export function bestVoice(voices: readonly SpeechSynthesisVoice[]): SpeechSynthesisVoice | undefined {
  const score = (voice: SpeechSynthesisVoice): number =>
    (voice.localService ? 4 : 0) + (voice.default ? 2 : 0) + (/^en[-_]us/i.test(voice.lang) ? 1 : 0);
  return voices.filter((voice) => /^en\b|^en_/i.test(voice.lang)).sort((a, b) => score(b) - score(a))[0];
}

/** Longer than any voice needs at normal speed, so that only a browser that forgot its `end` event meets it. */
const LONGEST_MS_PER_CHARACTER = 150;
const LONGEST_START_MS = 2500;
/** How often a browser is asked whether it has fallen silent without saying so. */
const LOOK_MS = 500;

/**
 * Speaks through the browser. `makeUtterance` is `(text) => new SpeechSynthesisUtterance(text)`.
 * An answer is one utterance; it ends with its `end` event, or when the browser is found silent after having spoken, or at a time limit.
 */
export function systemSpeaker(
  synthesis: Synthesis,
  makeUtterance: (text: string) => SpeechSynthesisUtterance,
  timers: Timers = HOST_TIMERS,
): Speaker {
  // Some browsers collect an utterance that nothing refers to, and with it its events.
  const alive = new Set<SpeechSynthesisUtterance>();
  return {
    say(phrases, { settings, cut, sounding }) {
      const voice = bestVoice(synthesis.getVoices());
      // Tones are none of a system's voice.
      if (voice === undefined || phrases.some((phrase) => isTone(phrase) || phrase === SWEEP))
        return Promise.resolve(false);
      return new Promise((resolve) => {
        const text = textOf(phrases);
        const utterance = makeUtterance(text);
        utterance.voice = voice;
        utterance.lang = voice.lang;
        utterance.rate = settings.rate;
        utterance.volume = settings.volume;
        let started = false;
        let look = timers.set(lookAgain, LOOK_MS);
        const limit = timers.set(
          () => {
            synthesis.cancel();
            finish(started);
          },
          LONGEST_START_MS + (text.length * LONGEST_MS_PER_CHARACTER) / settings.rate,
        );
        function lookAgain(): void {
          if (started && !synthesis.speaking) finish(true);
          else look = timers.set(lookAgain, LOOK_MS);
        }
        function stop(): void {
          synthesis.cancel();
          finish(true);
        }
        function finish(said: boolean): void {
          timers.clear(look);
          timers.clear(limit);
          cut.removeEventListener('abort', stop);
          alive.delete(utterance);
          resolve(said);
        }
        utterance.onstart = () => {
          started = true;
          sounding();
        };
        utterance.onend = () => finish(true);
        utterance.onerror = (event) => finish(event.error === 'interrupted' || event.error === 'canceled');
        cut.addEventListener('abort', stop);
        alive.add(utterance);
        synthesis.speak(utterance);
      });
    },
  };
}
