import type { Meaning } from '../grammar/meaning.ts';
import type { Ruleset } from '../grammar/ruleset.ts';
import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Heard } from '../hearing/port.ts';
import { readWav, type Recording } from '../hearing/wav.ts';
import type { Work } from '../record/pace.ts';
import { bad, good, type Outcome, type Problem } from '../units/outcome.ts';
import { playRecording } from './play-recording.ts';
import type { Said } from '../audit/compare-hearing.ts';

/** The sound of one callout, and what is listened for in it: the rules of the moment in which it was called. */
export interface ClipToHear {
  /** A WAV file. */
  readonly sound: Uint8Array<ArrayBuffer>;
  readonly ruleset: Ruleset;
  readonly understand: (text: string) => Meaning | undefined;
}

/** Begins a hearing that tells its events to the functions given. */
export type BeginHearing = (events: HearingEvents) => Hearing;

/** Share of the progress that loading the model takes. */
const LOADING = 0.3;
/** Silence around a clip, in seconds: with it the whole clip is one utterance, as it was when it was cut. */
const BEFORE_S = 0.4;
const AFTER_S = 0.7;

/**
 * Hears clips once more, each by itself. Gives what was heard in each: empty words for nothing, a problem in its place for a clip
 * that cannot be read. Fails when the ear or its model is absent or stops; rejects with the signal's reason when stopped.
 */
export async function hearClips(
  clips: readonly ClipToHear[],
  begin: BeginHearing,
  work: Work = {},
): Promise<Outcome<readonly Outcome<Said>[]>> {
  let words: Heard[] = [];
  return withHearing(
    begin,
    work,
    { heard: (heard) => void words.push(heard), clock: () => undefined },
    async (hearing) => {
      const said: Outcome<Said>[] = [];
      for (const [at, { sound, ruleset, understand }] of clips.entries()) {
        const recording = readWav(sound, 'the clip');
        if (!recording.ok) said.push(recording);
        else {
          words = [];
          hearing.listenFor(ruleset);
          await hearing.feed(framed(recording.value), recording.value.rate);
          await hearing.flush();
          work.signal?.throwIfAborted();
          said.push(good(joined(words, understand)));
        }
        work.onProgress?.(LOADING + ((1 - LOADING) * (at + 1)) / clips.length);
      }
      return said;
    },
  );
}

/** What follows a recording through its check. */
export interface Follower {
  /** What is listened for now. */
  readonly ruleset: () => Ruleset;
  readonly heard: (heard: Heard) => Promise<void>;
  /** Time has come to `now`, in ms of the recording. */
  readonly passed: (now: number) => Promise<void>;
}

/** Hears a whole recording, as fast as the machine can. Fails and rejects as `hearClips`. */
export async function hearRecording(
  recording: Recording,
  follower: Follower,
  begin: BeginHearing,
  work: Work = {},
): Promise<Outcome<void>> {
  let listen: () => void = () => undefined;
  const told = {
    heard: async (heard: Heard) => {
      await follower.heard(heard);
      listen();
    },
    clock: async (now: number) => {
      await follower.passed(now);
      listen();
    },
  };
  return withHearing(begin, work, told, async (hearing) => {
    listen = () => hearing.listenFor(follower.ruleset());
    listen();
    await playRecording(recording, hearing, (heard) => {
      work.signal?.throwIfAborted();
      work.onProgress?.(LOADING + (1 - LOADING) * heard);
      return true;
    });
  });
}

async function withHearing<T>(
  begin: BeginHearing,
  { signal, onProgress }: Work,
  events: Pick<HearingEvents, 'heard' | 'clock'>,
  hear: (hearing: Hearing) => Promise<T>,
): Promise<Outcome<T>> {
  const told: { problem?: Problem; stopped?: true } = {};
  const hearing = begin({
    ...events,
    loading: (fraction) => onProgress?.(LOADING * fraction),
    problem: (problem) => (told.problem = problem),
    stopped: () => (told.stopped = true),
  });
  const close = (): void => void hearing.close();
  signal?.addEventListener('abort', close, { once: true });
  const failed = (): Outcome<T> =>
    // Its repair is about a check that runs.
    told.problem === undefined ? bad('The ear did not start.') : bad(told.problem.what);
  try {
    const ready = await hearing.ready;
    signal?.throwIfAborted();
    if (!ready) return failed();
    const result = await hear(hearing);
    signal?.throwIfAborted();
    return told.stopped === true ? failed() : good(result);
  } finally {
    signal?.removeEventListener('abort', close);
    await hearing.close();
  }
}

function framed({ samples, rate }: Recording): Float32Array {
  const before = Math.round(rate * BEFORE_S);
  const sound = new Float32Array(before + samples.length + Math.round(rate * AFTER_S));
  sound.set(samples, before);
  return sound;
}

function joined(parts: readonly Heard[], understand: (text: string) => Meaning | undefined): Said {
  const taken = parts.filter(({ rejected, text }) => !rejected && text !== '');
  const heard = taken.map(({ text }) => text).join(' ');
  const meaning = heard === '' ? undefined : understand(heard);
  return {
    heard,
    confidence: taken.length === 0 ? 0 : Math.min(...taken.map(({ confidence }) => confidence)),
    ...(meaning === undefined ? {} : { meaning }),
  };
}
