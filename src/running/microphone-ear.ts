import type { Ruleset } from '../grammar/ruleset.ts';
import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Microphone, MicrophoneEvents } from '../hearing/microphone.ts';
import type { EngineId } from '../hearing/port.ts';
import type { Problem } from '../units/outcome.ts';
import type { EarState } from './check-model.ts';
import type { Ear, EarListener } from './ear.ts';

/** One of the ears that can listen to the microphone. */
export interface EarEngine {
  readonly id: EngineId;
  /** In words: "the embedded ear". */
  readonly name: string;
  readonly hearing: (events: HearingEvents) => Hearing;
}

export interface MicrophoneEarParts {
  readonly microphone: (events: MicrophoneEvents) => Microphone;
  /** The one that listens, then those that take over, in turn, when it stops for good. */
  readonly engines: () => Promise<readonly EarEngine[]>;
  /** Only what is said while the pad or key is held counts. */
  readonly pushToTalk: () => boolean;
}

/** People let go of the pad a little before their last word ends. */
const RELEASE_MS = 250;
/** How long a line about a passing trouble stays. */
const TROUBLE_MS = 6000;
/** The sound that the lost recogniser had not worked through is gone with it. */
const SAY_AGAIN = 'Say again what was not read back.';

/**
 * The microphone and its recogniser as one ear. A lost microphone comes back by itself; a recogniser that is lost for good is
 * followed by the next one. What is said while that loads waits for it.
 */
export function microphoneEar(parts: MicrophoneEarParts): Ear {
  let microphone: Microphone | undefined;
  let engines: readonly EarEngine[] = [];
  let engine: EarEngine | undefined;
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
    const name = engine?.name ?? 'the ear';
    if (!ready) return `Getting ${name} ready.`;
    return parts.pushToTalk() ? `Hold the pad or the space bar to talk to ${name}.` : `Heard by ${name}.`;
  }

  function wentWrong(part: 'microphone' | 'hearing', problem: Problem): void {
    trouble = { ...trouble, [part]: [problem.what, problem.repair].filter((text) => text !== undefined).join(' ') };
    troubleAt = performance.now();
    tell();
  }

  function begin(next: EarEngine, takesOver: boolean): void {
    let why = '';
    ready = false;
    engine = next;
    hearing = next.hearing({
      heard: (heard) => listener?.heard(heard),
      clock: async (now, sound) => {
        if (device === 'listening' && performance.now() - troubleAt > TROUBLE_MS)
          trouble = { microphone: '', hearing: '' };
        // A trouble that has passed, or a changed setting.
        if (told !== `${stateNow()} ${lineNow()}`) tell();
        listener?.level(sound, now);
        await listener?.progress(now);
      },
      loading: (fraction) =>
        listener?.state(
          'starting',
          `${trouble.hearing} Getting ${next.name} ready: ${Math.round(fraction * 100)} %.`.trimStart(),
        ),
      problem: (problem) => {
        why = problem.what;
        wentWrong('hearing', problem);
      },
      restarted: () => listener?.restarted?.(next.id),
      stopped: () => {
        const heardBefore = ready;
        hearing = undefined;
        ready = false;
        const after = listener === undefined ? undefined : engines[engines.indexOf(next) + 1];
        if (after !== undefined) {
          trouble = {
            ...trouble,
            hearing: `${why} Now ${after.name} takes over from ${next.name}. ${SAY_AGAIN}`.trimStart(),
          };
          begin(after, true);
        }
        tell(heardBefore ? 'engine-lost' : undefined);
      },
    });
    if (ruleset !== undefined) hearing.listenFor(ruleset);
    const mine = hearing;
    void hearing.ready.then((heard) => {
      if (hearing !== mine) return;
      ready = heard;
      // Who takes over from whom stays to be read for a while.
      if (takesOver) troubleAt = performance.now();
      else if (heard) trouble = { ...trouble, hearing: '' };
      tell();
    });
  }

  function beginAgain(): void {
    const [first] = engines;
    if (first !== undefined) begin(first, false);
  }

  function takeSound(samples: Float32Array, rate: number): void {
    // Outside the press the sound is silence, so that the clock goes on and a press is one utterance.
    const counts = !parts.pushToTalk() || performance.now() < talkingUntil;
    void hearing?.feed(counts ? samples : new Float32Array(samples.length), rate);
  }

  return {
    async open(to) {
      listener = to;
      engines = await parts.engines();
      // Closed meanwhile.
      if (listener !== to) return;
      beginAgain();
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
    },
    async retry() {
      if (hearing === undefined) beginAgain();
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
