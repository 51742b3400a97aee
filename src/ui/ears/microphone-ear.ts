import type { Ruleset } from '../../grammar/ruleset.ts';
import type { Hearing, HearingEvents } from '../../hearing/hearing.ts';
import type { Microphone, MicrophoneEvents } from '../../hearing/microphone.ts';
import type { Problem } from '../../units/outcome.ts';
import type { EarState } from '../check/check-model.ts';
import type { Ear, EarListener } from '../check/ear.ts';

export interface MicrophoneEarParts {
  readonly microphone: (events: MicrophoneEvents) => Microphone;
  readonly hearing: (events: HearingEvents) => Hearing;
  /** Which ear listens, in words: "the embedded ear". */
  readonly name: string;
  /** Only what is said while the pad or key is held counts. */
  readonly pushToTalk: boolean;
}

/** People let go of the pad a little before their last word ends. */
const RELEASE_MS = 250;
/** How long a line about a passing trouble stays. */
const TROUBLE_MS = 6000;

/** The microphone and its recogniser as one ear. A lost microphone comes back by itself; a lost recogniser does not. */
export function microphoneEar(parts: MicrophoneEarParts): Ear {
  let microphone: Microphone | undefined;
  let hearing: Hearing | undefined;
  let ruleset: Ruleset | undefined;
  let listener: EarListener | undefined;
  let device: 'unknown' | 'listening' | 'waiting' = 'unknown';
  let ready = false;
  let talkingUntil = -Infinity;
  /** The latest thing that went wrong, in one line, until sound has been heard for a while. */
  let trouble = '';
  let troubleAt = 0;

  const tell = (lost?: 'microphone-lost' | 'engine-lost'): void => listener?.state(stateNow(), lineNow(), lost);

  function stateNow(): EarState {
    if (hearing === undefined || device === 'waiting') return 'unavailable';
    if (!ready || device === 'unknown') return 'starting';
    return parts.pushToTalk ? 'waiting' : 'listening';
  }

  function lineNow(): string {
    if (trouble !== '') return trouble;
    if (!ready) return `Getting ${parts.name} ready.`;
    return parts.pushToTalk ? `Hold the pad or the space bar to talk to ${parts.name}.` : `Heard by ${parts.name}.`;
  }

  function wentWrong(problem: Problem): void {
    trouble = [problem.what, problem.repair].filter((part) => part !== undefined).join(' ');
    troubleAt = performance.now();
    tell();
  }

  function begin(): void {
    ready = false;
    hearing = parts.hearing({
      heard: (heard) => listener?.heard(heard),
      clock: async (now, sound) => {
        if (trouble !== '' && device === 'listening' && performance.now() - troubleAt > TROUBLE_MS) {
          trouble = '';
          tell();
        }
        listener?.level(sound);
        await listener?.progress(now);
      },
      loading: (fraction) =>
        listener?.state('starting', `Getting ${parts.name} ready: ${Math.round(fraction * 100)} %.`),
      problem: wentWrong,
      stopped: () => {
        const heardBefore = ready;
        hearing = undefined;
        ready = false;
        tell(heardBefore ? 'engine-lost' : undefined);
      },
    });
    if (ruleset !== undefined) hearing.listenFor(ruleset);
    const mine = hearing;
    void hearing.ready.then((heard) => {
      if (hearing !== mine) return;
      ready = heard;
      if (heard) trouble = '';
      tell();
    });
  }

  function takeSound(samples: Float32Array, rate: number): void {
    // Outside the press the sound is silence, so that the clock goes on and a press is one utterance.
    const counts = !parts.pushToTalk || performance.now() < talkingUntil;
    void hearing?.feed(counts ? samples : new Float32Array(samples.length), rate);
  }

  return {
    open(to) {
      listener = to;
      begin();
      microphone = parts.microphone({
        sound: takeSound,
        state: (state) => {
          const lost = state === 'waiting' && device === 'listening';
          device = state;
          if (state === 'listening') trouble = '';
          tell(lost ? 'microphone-lost' : undefined);
        },
        problem: wentWrong,
      });
      return Promise.resolve();
    },
    async retry() {
      if (hearing === undefined) begin();
      await microphone?.retry();
    },
    listenFor(rules) {
      ruleset = rules;
      hearing?.listenFor(rules);
    },
    talk(down) {
      talkingUntil = down ? Infinity : performance.now() + RELEASE_MS;
    },
    close() {
      listener = undefined;
      microphone?.stop();
      return hearing?.close() ?? Promise.resolve();
    },
  };
}
