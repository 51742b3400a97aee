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
  readonly pushToTalk: () => boolean;
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
  /** What last went wrong with each, in one line, until it works again or sound has been heard for a while. */
  let trouble = { microphone: '', hearing: '' };
  let troubleAt = 0;

  let told = '';
  const tell = (lost?: 'microphone-lost' | 'engine-lost'): void => {
    told = `${stateNow()} ${lineNow()}`;
    listener?.state(stateNow(), lineNow(), lost);
  };

  function stateNow(): EarState {
    if (hearing === undefined || device === 'waiting') return 'unavailable';
    if (!ready || device === 'unknown') return 'starting';
    return parts.pushToTalk() ? 'waiting' : 'listening';
  }

  function lineNow(): string {
    const line = trouble.microphone === '' ? trouble.hearing : trouble.microphone;
    if (line !== '') return line;
    if (!ready) return `Getting ${parts.name} ready.`;
    return parts.pushToTalk() ? `Hold the pad or the space bar to talk to ${parts.name}.` : `Heard by ${parts.name}.`;
  }

  function wentWrong(part: 'microphone' | 'hearing', problem: Problem): void {
    trouble = { ...trouble, [part]: [problem.what, problem.repair].filter((text) => text !== undefined).join(' ') };
    troubleAt = performance.now();
    tell();
  }

  function begin(): void {
    ready = false;
    hearing = parts.hearing({
      heard: (heard) => listener?.heard(heard),
      clock: async (now, sound) => {
        if (device === 'listening' && performance.now() - troubleAt > TROUBLE_MS)
          trouble = { microphone: '', hearing: '' };
        // A trouble that has passed, or a changed setting.
        if (told !== `${stateNow()} ${lineNow()}`) tell();
        listener?.level(sound);
        await listener?.progress(now);
      },
      loading: (fraction) =>
        listener?.state('starting', `Getting ${parts.name} ready: ${Math.round(fraction * 100)} %.`),
      problem: (problem) => wentWrong('hearing', problem),
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
      if (heard) trouble = { ...trouble, hearing: '' };
      tell();
    });
  }

  function takeSound(samples: Float32Array, rate: number): void {
    // Outside the press the sound is silence, so that the clock goes on and a press is one utterance.
    const counts = !parts.pushToTalk() || performance.now() < talkingUntil;
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
          if (state === 'listening') trouble = { ...trouble, microphone: '' };
          tell(lost ? 'microphone-lost' : undefined);
        },
        problem: (problem) => wentWrong('microphone', problem),
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
