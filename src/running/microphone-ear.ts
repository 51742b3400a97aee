import type { Ruleset } from '../grammar/ruleset.ts';
import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Microphone, MicrophoneEvents } from '../hearing/microphone-port.ts';
import { CUTS_OFF } from '../hearing/microphone-problems.ts';
import { CutOffWatch } from '../hearing/sound-check/cut-off.ts';
import type { EngineId } from '../units/engine.ts';
import { createOwnVoice } from '../hearing/own-voice/own-voice.ts';
import type { Heard } from '../hearing/port.ts';
import { createResampler, type Resampler } from '../hearing/resampler.ts';
import type { Problem } from '../units/outcome.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs, type Ms } from '../units/time.ts';
import type { EarState } from './check-model.ts';
import type { Ear, EarEvents, LostReason } from './ear.ts';

/** One of the ears that can listen to the microphone. */
export interface NamedHearing {
  readonly id: EngineId;
  /** In words: "the embedded ear". */
  readonly name: string;
  readonly hearing: (events: HearingEvents) => Hearing;
}

export interface MicrophoneEarParts {
  readonly microphone: (events: MicrophoneEvents) => Microphone;
  /** The one that listens, then those that take over, in turn, when it stops for good. */
  readonly engines: () => Promise<readonly NamedHearing[]>;
  /** Only what is said while the pad or key is held counts. */
  readonly pushToTalk: () => boolean;
  /** The tool speaks where the microphone does not hear it. Default: it may. */
  readonly headset?: () => boolean;
  /** Ms that only grow. */
  readonly steady: () => number;
}

/** People let go of the pad a little before their last word ends. */
const RELEASE_MS = 250;
/** How long a line about a passing trouble stays. */
const TROUBLE_MS = 6000;
/** Silence that stands after sound that was lost, so that the words before it and after it are not taken for one callout; ms. */
const AFTER_LOSS_MS = 1000;
/** Words so near to sound that was lost may lack their end or their beginning; ms. */
const NEAR_MS = 500;
/** Sounds, of 20 ms, of which the promptest tells how the ear's clock lies to the steady one: a busy page gets some of them late. */
const ARRIVALS = 100;
/** So much of the sound of words is enough to tell that the tool hears itself. */
const MOSTLY = 0.5;
const SAY_AGAIN = 'Say again what was not read back.';

/** A loudspeaker in the device is heard within this. Ours, no source. */
const LATE_MS: Ms = 200;

function lateVoice(ms: Ms): Problem {
  return {
    what: `The tool is heard ${(ms / 1000).toFixed(1)} s after it speaks, as by Bluetooth; that is reckoned with, and hearing goes on.`,
    repair: 'The device’s own loudspeaker answers sooner.',
  };
}

const HEARS_ITSELF: Problem = {
  what: 'The tool hears itself, though by the settings its answers go to a headset.',
  repair: 'Switch that setting off, or put the headset on.',
};

/** A headset that also plays often gives less. */
function rateProblem(rate: number, changed: boolean): Problem {
  const what = `The microphone ${changed ? 'now ' : ''}gives its sound at ${String(Math.round(rate / 100) / 10)} kHz; hearing goes on.`;
  return rate < SAMPLE_RATE ? { what, repair: 'It hears less well so: use another microphone.' } : { what };
}

/**
 * The microphone and its recogniser as one ear. A lost microphone comes back by itself; a recogniser that is lost for good is
 * followed by the next one. What is said while that loads waits for it.
 */
export function microphoneEar(parts: MicrophoneEarParts): Ear {
  let microphone: Microphone | undefined;
  let engines: readonly NamedHearing[] = [];
  let engine: NamedHearing | undefined;
  let hearing: Hearing | undefined;
  let ruleset: Ruleset | undefined;
  let events: EarEvents | undefined;
  let device: 'unknown' | 'listening' | 'waiting' = 'unknown';
  let ready = false;
  let talkingUntil = -Infinity;
  /** What last went wrong with each, in one line, until it works again or sound has been heard for a while. */
  let trouble = { microphone: '', hearing: '' };
  let troubleAt = -Infinity;
  /** Sound taken in since the ear was opened, the ear's own clock; and as much of it as was given to recognisers. */
  let fed: Ms = 0;
  let given: Ms = 0;
  let resampler: { readonly rate: number; readonly stream: Resampler } | undefined;
  let lastRate: number | undefined;
  const cutOff = new CutOffWatch();
  let isLateTold = false;
  /** The steady clock at the ear's moment 0, by each of the last sounds: the promptest is nearest. A device may stand still for a moment. */
  let origins: readonly number[] = [];
  const ownVoice = createOwnVoice(
    {
      sound(samples) {
        given += samplesToMs(samples.length);
        void hearing?.feed(samples, SAMPLE_RATE);
      },
      speaks: () => events?.operator?.(true),
      silent: () => events?.operator?.(false),
      found(delay) {
        const late = samplesToMs(delay);
        if (late < LATE_MS || isLateTold) return;
        isLateTold = true;
        wentWrong('microphone', lateVoice(late));
      },
    },
    () => parts.headset?.() === true,
    // While the pad is pressed the tool is silent, and else nothing is heard.
    () => parts.pushToTalk(),
  );
  /** The least of them, in samples: by it the tool's sounds were told to `ownVoice`. */
  let origin: number | undefined;
  /** What stands on the ear's clock where sound was lost. */
  let losses: readonly Ms[] = [];
  /** The next sound does not follow on what came before it. */
  let untied = true;

  let told = '';
  const tell = (lost?: LostReason): void => {
    told = `${stateNow()} ${lineNow()}`;
    events?.state(stateNow(), lineNow(), lost);
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
    troubleAt = parts.steady();
    tell();
  }

  function begin(next: NamedHearing, takesOver: boolean): void {
    let why = '';
    const from = given;
    ready = false;
    engine = next;
    hearing = next.hearing({
      heard: (heard) => events?.heard(onEar(heard, from)),
      clock: async (now, sound) => {
        if (device === 'listening' && parts.steady() - troubleAt > TROUBLE_MS)
          trouble = { microphone: '', hearing: '' };
        // A trouble that has passed, or a changed setting.
        if (told !== `${stateNow()} ${lineNow()}`) tell();
        events?.level(sound, from + now);
        await events?.progress(from + now);
      },
      loading: (fraction) =>
        events?.state(
          'starting',
          `${trouble.hearing} Getting ${next.name} ready: ${Math.round(fraction * 100)} %.`.trimStart(),
        ),
      problem: (problem) => {
        why = problem.what;
        wentWrong('hearing', problem);
      },
      restarted: () => events?.restarted?.(next.id),
      stopped: () => {
        const heardBefore = ready;
        hearing = undefined;
        ready = false;
        const after = events === undefined ? undefined : engines[engines.indexOf(next) + 1];
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
      if (takesOver) troubleAt = parts.steady();
      else if (heard) trouble = { ...trouble, hearing: '' };
      tell();
    });
  }

  function beginAgain(): void {
    const [first] = engines;
    if (first !== undefined) begin(first, false);
  }

  function feed(samples: Float32Array, rate: number): void {
    if (lastRate !== rate && (lastRate !== undefined || rate < SAMPLE_RATE))
      wentWrong('microphone', rateProblem(rate, lastRate !== undefined));
    lastRate = rate;
    if (resampler?.rate !== rate) endOfRate();
    resampler ??= { rate, stream: createResampler(rate) };
    take(resampler.stream.push(samples));
  }

  /** What comes next does not follow on, or is of another rate. */
  function endOfRate(): void {
    if (resampler !== undefined) take(resampler.stream.flush());
    resampler = undefined;
  }

  function take(samples: Float32Array): void {
    fed += samplesToMs(samples.length);
    ownVoice.push(samples);
  }

  function lose(lost: LostReason): void {
    if (!untied) {
      endOfRate();
      losses = [...losses.slice(-9), fed];
      take(new Float32Array(msToSamples(AFTER_LOSS_MS)));
      ownVoice.flush();
      untied = true;
    }
    tell(lost);
  }

  /** As it was heard, on the ear's clock; what may be only a part of what was said is not taken for it. */
  function onEar(heard: Heard, from: Ms): Heard {
    const [start, end] = [from + heard.start, from + heard.end];
    const cut = losses.some((at) => start < at + AFTER_LOSS_MS + NEAR_MS && end > at - NEAR_MS);
    const words = heard.words.map((word) => ({ ...word, start: from + word.start, end: from + word.end }));
    return { ...heard, start, end, words, rejected: heard.rejected || cut };
  }

  function takeSound(samples: Float32Array, rate: number, from: number): void {
    if (untied) {
      untied = false;
      origins = [];
      origin = undefined;
      events?.tied?.(fed, from);
    }
    events?.sound?.(samples, rate);
    // Outside the press the sound is silence, so that the clock goes on and a press is one utterance.
    const counts = !parts.pushToTalk() || parts.steady() < talkingUntil;
    if (counts && cutOff.next(samples, rate)) wentWrong('microphone', CUTS_OFF);
    feed(counts ? samples : new Float32Array(samples.length), rate);
    origins = [...origins.slice(1 - ARRIVALS), parts.steady() - fed];
    const now = msToSamples(Math.min(...origins));
    // The first sounds of a microphone may all come late.
    if (origin !== undefined && now !== origin) ownVoice.wasLater(origin - now);
    origin = now;
  }

  return {
    async open(to) {
      events = to;
      engines = await parts.engines();
      // Closed meanwhile.
      if (events !== to) return;
      beginAgain();
      microphone = parts.microphone({
        sound: takeSound,
        state: (state) => {
          const lost = state === 'waiting' && device === 'listening';
          device = state;
          if (state === 'listening') trouble = { ...trouble, microphone: '' };
          if (lost) lose('microphone-lost');
          else tell();
        },
        // While the device was away nothing was expected of it.
        gap: () => {
          if (!untied) lose('sound-lost');
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
    ownVoice(now) {
      const at = origin === undefined ? msToSamples(fed) : msToSamples(parts.steady()) - origin;
      if (now === undefined) ownVoice.stops(at);
      else ownVoice.plays(now.sound, at + msToSamples(now.inMs));
    },
    whose(from, to, sound) {
      const whose = ownVoice.whose(msToSamples(from), msToSamples(to), sound);
      if (whose.unknown >= MOSTLY && parts.headset?.() === true) wentWrong('microphone', HEARS_ITSELF);
      return whose;
    },
    talk(down) {
      talkingUntil = down ? Infinity : parts.steady() + RELEASE_MS;
    },
    close() {
      events = undefined;
      microphone?.stop();
      return hearing?.close() ?? Promise.resolve();
    },
  };
}
