import type { Played } from '../../units/played.ts';
import { SAMPLE_RATE } from '../../units/time.ts';
import { createEchoPath, SHIFT } from './echo-path.ts';
import { likeness } from './find-delay.ts';
import { takeOut } from './notes.ts';
import { createPlayedSound, FRAME, levelOf } from './played-sound.ts';
import { createPresence, SPEAKS, type FrameLevels } from './presence.ts';

/**
 * What was heard in a moment, besides noise: `clear`, nothing that could be made out; `operator`, somebody who speaks over the tool's voice,
 * which was taken out; `somebody`, a voice where nothing is taken out: the tool's as well, if it is heard otherwise than was thought;
 * `own`, the tool's voice alone, of which nothing was passed on; `unknown`, anybody's.
 */
export type Whose = 'clear' | 'operator' | 'somebody' | 'own' | 'unknown';

export interface OwnVoiceEvents {
  /** The next samples, without what was the tool's own; as many as were pushed, later by some while it speaks. */
  readonly sound: (samples: Float32Array) => void;
  /** Somebody began to speak at this sample, and goes on. Told once. */
  readonly speaks: (at: number) => void;
  /** Nobody but the tool speaks any more. */
  readonly silent: () => void;
  /** The way of the tool's voice into the microphone was found anew: it comes so many samples after it was to sound. */
  readonly found?: (delay: number) => void;
}

export interface OwnVoice {
  /** The next 16 kHz samples of the microphone. */
  push(samples: Float32Array): void;
  /** From sample `at` of the microphone on the tool plays this; `undefined` for a voice whose samples nobody knows. */
  plays(sound: Played | undefined, at: number): void;
  /** All that was played was later by so many samples than was told, and what is told from now on is so much later. */
  wasLater(by: number): void;
  /** At sample `at` the tool fell silent. */
  stops(at: number): void;
  /** Passes on all that is still held back. */
  flush(): void;
  /**
   * Whose sound the samples from `from` to `to` were, as parts of it that make 1; `clear` where nothing is known any more. `sound` is theirs, as
   * it was passed on: where nothing was taken out of it and what was played in the seconds before comes back in it, it may be anybody's.
   */
  whose(from: number, to: number, sound?: Float32Array): Readonly<Record<Whose, number>>;
}

/** While the tool speaks the sound is passed on so much later, so that the beginning of a word is not cut. */
const AHEAD = 15;
/** Frames of played sound in which its echo is looked for, where the way of it is known and where not; and again after so many more. */
const ENOUGH = { known: 14, unknown: 38 } as const;
const AGAIN = { waiting: 12, passing: 50 } as const;
/** Frames that wait for an echo to be found; and in which it is looked for where nothing waits. */
const PATIENCE = { waiting: 150, passing: 300 } as const;
/** After so many answers without an echo the sound no longer waits for one. */
const HEADSET = 2;
/** The path is worked out anew every so many frames. */
const SOLVE = 20;
/** A played frame with less, dB, is a pause. */
const SOUNDS_DB = -60;
/** After the end of a voice that is not known: room and device. */
const TAIL = 0.4 * SAMPLE_RATE;
/** Frames whose owner is remembered. */
const REMEMBERED = 3000;
/** Noise that stands in for the tool's own voice. */
const NOISE_FRAMES = 60;
/** Frames over which it is watched whether the foreseen echo is right; and what is wrong for sure, dB. */
const WATCHED = 40;
const WORSE_DB = 1;
/** What was foreseen wrongly so often is no longer held for an echo that somebody speaks over. */
const MOST_WRONG = 3;
/** Frames in which an echo that was foreseen wrongly is looked for at another place. */
const RECENT = 40;
/** What is played may come back later by so much than what was played before it. */
const LATER = 0.02 * SAMPLE_RATE;
/** A voice is heard for a frame or two before it counts as one. */
const BEFORE = 8;
/** Where nothing was taken out of it, what was played is looked for in the sound of words so late; and so alike to it they are not by chance. */
const LATEST = 4 * SAMPLE_RATE;
const ALIKE = 0.35;
/** So much of it has to be heard without anything taken out for that. */
const MOSTLY = 0.5;

interface Frame {
  readonly at: number;
  readonly heard: Float32Array;
}

interface Ahead {
  readonly frame: Frame;
  /** Nothing of the tool's but tones is in it: without them it is passed on, since a word may begin in it. */
  readonly isTone: boolean;
  rest: Float32Array;
  whose: Whose;
}

/**
 * Takes the tool's own voice out of what the microphone hears: it knows what is played, finds how that comes back, and subtracts it. What
 * is still left of it is passed over where nobody else speaks. `headset`: the tool is not heard by the microphone, it is thought, and nothing
 * is done; `pressed`: what is heard now is silence.
 */
export function createOwnVoice(
  events: OwnVoiceEvents,
  headset: () => boolean,
  pressed: () => boolean = () => false,
): OwnVoice {
  const played = createPlayedSound();
  const path = createEchoPath();
  const presence = createPresence();
  /** From the frame at `firstOf` on. */
  let whose: Whose[] = [];
  let firstOf = 0;
  let rest = new Float32Array(0);
  let at = 0;
  let emitted = 0;
  /** `seeking` from the beginning of an answer until its echo is found, or is none. */
  let state: 'silent' | 'seeking' | 'cancelling' | 'unheard' | 'unsampled' = 'silent';
  /** Frames in which an echo is looked for. They wait for it, unless `isPassing`. */
  const held: Frame[] = [];
  let sounding = 0;
  /** Held frames with a voice in them, before the first in which an echo is foreseen. */
  let tooSoon = 0;
  let nextTry = 0;
  let unheard = 0;
  const ahead: Ahead[] = [];
  let unsampledUntil = -Infinity;
  /** Until then the echo of a tone may be heard: nothing tells where in it a tone is, and it has no words that could be taken. */
  let toneUntil = -Infinity;
  /** Until then the echo of what was played before it, which is looked for in its own sound. */
  let beforeUntil = -Infinity;
  let sinceSolved = 0;
  /** By how much frames became quieter without their echo, dB. */
  let gains: number[] = [];
  /** How often, one time after the other, most of what was foreseen made it worse, and the echo was found nowhere else. */
  let wrongs = 0;
  /** The last frames whose echo was foreseen. */
  let recent: Frame[] = [];
  let told = false;
  let noise: Float32Array[] = [];
  let noiseAt = 0;

  const emit = (from: number, sound: Float32Array): void => {
    const news = sound.subarray(Math.max(0, emitted - from));
    emitted = Math.max(emitted, from + sound.length);
    if (news.length > 0) events.sound(news);
  };

  const pass = (from: number, sound: Float32Array, as: Whose): void => {
    if (whose.length === 0) firstOf = from;
    whose.push(as);
    if (whose.length > 2 * REMEMBERED) {
      whose = whose.slice(-REMEMBERED);
      firstOf = from - (REMEMBERED - 1) * FRAME;
    }
    emit(from, sound);
  };

  const tell = (from: number): void => {
    const { since } = presence;
    if (since !== undefined && !told) events.speaks(from - (since - 1) * FRAME);
    else if (since === undefined && told) events.silent();
    told = since !== undefined;
  };

  /** The sound from sample `from` on without the tool's tones, which a voice is never like. */
  const toneless = (from: number, sound: Float32Array): Float32Array => {
    if (headset() || (!path.known && isPassing())) return sound;
    const soonest = path.known ? Math.max(0, path.delay - SHIFT) : 0;
    const pitches = played.pitches(from - path.length - SHIFT, from + sound.length - soonest);
    return pitches.length === 0 ? sound : takeOut(sound, pitches);
  };

  const keepNoise = (sound: Float32Array): void => {
    if (!presence.voiced && presence.since === undefined) noise = [...noise.slice(1 - NOISE_FRAMES), sound];
  };

  const noiseFrame = (): Float32Array => {
    noiseAt = (noiseAt + 1) % Math.max(1, noise.length);
    return noise[noiseAt] ?? new Float32Array(FRAME);
  };

  /** Nothing of the tool's is in the sound, or nothing that could be taken away. */
  const passOn = ({ at: from, heard }: Frame, as: 'clear' | 'unknown'): void => {
    const sound = toneless(from, heard);
    presence.next({ rest: loud(sound), echo: undefined });
    keepNoise(sound);
    pass(from, sound, as);
    if (as === 'unknown') return;
    tell(from);
    const { since } = presence;
    // The beginning of it was not known for a voice yet.
    if (since !== undefined)
      for (let n = Math.max(0, whose.length - since - BEFORE); n < whose.length; n += 1)
        if (whose[n] === 'clear') whose[n] = 'somebody';
  };

  const release = (keep: number): void => {
    for (const each of ahead.splice(0, Math.max(0, ahead.length - keep)))
      pass(each.frame.at, each.whose === 'own' && !each.isTone ? noiseFrame() : each.rest, each.whose);
  };

  const subtract = ({ at: from, heard }: Frame): { readonly rest: Float32Array; readonly levels: FrameLevels } => {
    const echo = path.echo(from, FRAME, played);
    const sound = toneless(from, heard);
    const left = toneless(
      from,
      heard.map((sample, n) => sample - (echo[n] ?? 0)),
    );
    const [before, after] = [loud(sound), loud(left)];
    if (from >= toneUntil) gains.push(before - after);
    // An echo that was foreseen too loud would be heard for the first time.
    const isWrong = after > before;
    return {
      rest: isWrong ? sound : left,
      levels: { rest: Math.min(before, after), echo: Math.min(loud(heard), loud(echo)) },
    };
  };

  /** True when for a while most of what was foreseen made it worse. */
  const isWrong = (): boolean => {
    gains = gains.slice(-WATCHED);
    return gains.length === WATCHED && gains.filter((gain) => gain < -WORSE_DB).length > WATCHED / 3;
  };

  const cancel = (frame: Frame): void => {
    const { rest: left, levels } = subtract(frame);
    presence.next(levels);
    const isTone = frame.at < toneUntil;
    recent = isTone ? [] : [...recent.slice(1 - RECENT), frame];
    ahead.push({ frame, isTone: isTone && frame.at >= beforeUntil, rest: left, whose: ownOrClear() });
    // What seems to be somebody may be the echo, at another place than the last time.
    if (presence.since !== undefined && !told && !isTone && hasMoved(presence.since + BEFORE))
      presence.again(foreseeAnew());
    const { since, voiced, leaks } = presence;
    // The beginning of it was not known for a voice yet.
    if (since !== undefined)
      for (const each of ahead) if (frame.at - each.frame.at <= (since + BEFORE) * FRAME) each.whose = 'operator';
    if (!leaks) keepNoise(left);
    if (since === undefined && !voiced && !isTone) learn(frame);
    tell(frame.at);
    release(AHEAD);
    if (!isTone && isWrong()) notThere();
  };

  /** The echo is not where it was foreseen. Where somebody speaks over it nothing tells where it is: then its way is kept for a while. */
  const notThere = (): void => {
    if (findAgain()) return;
    gains = [];
    wrongs += 1;
    if (wrongs >= MOST_WRONG) seekAnew();
  };

  const ownOrClear = (): Whose => (presence.leaks ? (presence.trusted ? 'own' : 'unknown') : 'clear');

  /** True when the echo of the last frames is found at another place than it was foreseen. */
  const hasMoved = (frames: number): boolean => {
    const last = recent.slice(-frames);
    return path.move(joined(last), last[0]?.at ?? at, played);
  };

  /** What is held back was done with an echo that was foreseen wrongly. Gives the levels of it as they are now. */
  const foreseeAnew = (): readonly FrameLevels[] => {
    const levels = recent.map((frame) => subtract(frame).levels);
    presence.calibrate(levels, false);
    for (const each of ahead) {
      each.rest = subtract(each.frame).rest;
      if (each.whose !== 'operator') each.whose = ownOrClear();
    }
    gains = [];
    wrongs = 0;
    return levels.slice(-ahead.length);
  };

  /** True when the echo is in the last frames, but at another place. */
  const findAgain = (): boolean => {
    if (!path.find(joined(recent), recent[0]?.at ?? at, played)) return false;
    foreseeAnew();
    return true;
  };

  const seekAnew = (): void => {
    path.forget();
    recent = [];
    gains = [];
    wrongs = 0;
    release(0);
    state = 'seeking';
    sounding = 0;
    tooSoon = 0;
    nextTry = ENOUGH.unknown;
  };

  const learn = ({ heard, at: from }: Frame): void => {
    path.learn(heard, from, played);
    sinceSolved += 1;
    if (sinceSolved < SOLVE) return;
    sinceSolved = 0;
    path.solve();
  };

  /** Nothing comes back, as it seems: what is heard is passed on at once, and an echo is looked for all the same. */
  const isPassing = (): boolean => unheard >= HEADSET;

  const cancelHeld = (): void => {
    state = 'cancelling';
    gains = [];
    recent = [];
    for (const frame of takeHeld()) work(frame);
  };

  /** What is held back, from now on no more. */
  const takeHeld = (): readonly Frame[] => {
    const all = held.splice(0);
    return isPassing() ? [] : all;
  };

  const patience = (): number => (isPassing() ? PATIENCE.passing : PATIENCE.waiting);

  /** True when the echo was found, or is where it was the last time: somebody may be speaking over it. */
  const find = (): boolean => {
    const isNew = !path.known;
    if (path.find(joined(held), held[0]?.at ?? at, played)) {
      presence.calibrate(
        held.map((frame) => subtract(frame).levels),
        isNew,
      );
      wrongs = 0;
      if (isNew) events.found?.(path.delay);
      return true;
    }
    return !isNew;
  };

  const seek = (): void => {
    if (find()) {
      cancelHeld();
      unheard = 0;
    } else if (held.length > patience()) {
      for (const frame of takeHeld()) passOn(frame, 'clear');
      unheard += 1;
      state = 'unheard';
    } else nextTry = sounding + (isPassing() ? AGAIN.passing : AGAIN.waiting);
  };

  /** The answer is over. */
  const settle = (): void => {
    // Too little of it tells no place: then it is where it was.
    if (state === 'seeking' && ((path.known && sounding < ENOUGH.known) || find())) cancelHeld();
    for (const frame of takeHeld()) passOn(frame, 'unknown');
    release(0);
    state = 'silent';
  };

  const work = (frame: Frame): void => {
    if (state === 'unsampled' ? frame.at >= unsampledUntil : frame.at >= played.end + path.length) {
      if (state !== 'silent') settle();
    }
    if (state === 'cancelling' || (state === 'seeking' && path.known && frame.at < beforeUntil)) {
      cancel(frame);
      return;
    }
    release(0);
    if (state === 'seeking' && !isBeforeEcho(frame)) hold(frame);
    else passOn(frame, state === 'unsampled' ? 'unknown' : 'clear');
  };

  /** Nothing of what is played can have come back by then, where the way of it is known. */
  const isBeforeEcho = ({ at: from }: Frame): boolean =>
    path.known &&
    held.length === 0 &&
    levelOf(played.samples(from - path.length - SHIFT, from + FRAME - path.delay + SHIFT)) <= -100;

  const hold = (frame: Frame): void => {
    held.push(frame);
    const from = frame.at - (path.known ? path.delay : 0);
    if (levelOf(played.samples(from, from + FRAME)) > SOUNDS_DB) sounding += 1;
    else if (sounding === 0 && presence.isVoice(loud(frame.heard))) tooSoon += 1;
    if (isPassing()) passOn(frame, 'clear');
    // Somebody who speaks before the echo can be there does not wait for it to be found.
    if (path.known && tooSoon > 0 && presence.voices + tooSoon >= SPEAKS) cancelHeld();
    else if (sounding >= nextTry || held.length > patience()) seek();
  };

  /** What was played before is heard in this sound, whose words begin at this sample. */
  const comesBack = (from: number, sound: Float32Array): boolean => {
    const before = played.samples(from - LATEST, from + sound.length);
    return levelOf(before) > -100 && likeness(sound, before) >= ALIKE;
  };

  return {
    push(samples) {
      const all = new Float32Array(rest.length + samples.length);
      all.set(rest);
      all.set(samples, rest.length);
      let from = 0;
      for (; from + FRAME <= all.length; from += FRAME) {
        const frame = { at, heard: all.slice(from, from + FRAME) };
        at += FRAME;
        work(frame);
      }
      rest = all.slice(from);
      // Between two answers nothing waits for its frame to be full.
      if (state !== 'seeking' && state !== 'cancelling') emit(at, toneless(at, rest));
    },
    plays(sound, from) {
      if (sound === undefined) {
        if (headset()) return;
        settle();
        state = 'unsampled';
        unsampledUntil = Infinity;
        return;
      }
      if (state === 'cancelling') beforeUntil = played.end + path.length + LATER;
      played.play(sound, from);
      if (headset() || pressed()) return;
      const isTone = sound.tone === true;
      if (isTone && !path.known) return;
      if (state === 'seeking') return;
      if (isTone) {
        state = 'cancelling';
        toneUntil = played.end + path.length + LATER;
        return;
      }
      state = 'seeking';
      sounding = 0;
      tooSoon = 0;
      nextTry = path.known ? ENOUGH.known : ENOUGH.unknown;
    },
    wasLater(by) {
      played.move(by);
      path.sooner(by);
    },
    stops(from) {
      if (state === 'unsampled') unsampledUntil = at + TAIL;
      else played.cut(from);
    },
    flush() {
      settle();
      emit(at, rest);
      at += rest.length;
      rest = new Float32Array(0);
      whose = [];
    },
    whose(from, to, sound) {
      const parts = { clear: 0, operator: 0, somebody: 0, own: 0, unknown: 0 };
      const first = Math.floor((from - firstOf) / FRAME);
      const last = Math.max(first + 1, Math.ceil((to - firstOf) / FRAME));
      for (let index = first; index < last; index += 1) parts[whose[index] ?? 'clear'] += 1 / (last - first);
      const asItWas = parts.clear + parts.somebody;
      if (sound === undefined || asItWas < MOSTLY || !comesBack(from, sound)) return parts;
      return { ...parts, clear: 0, somebody: 0, unknown: parts.unknown + asItWas };
    },
  };
}

/** The level of a frame as a voice stands out in it: engines rumble below it, and an s is above it. */
function loud(frame: Float32Array): number {
  let [before, last, sum] = [0, 0, 0];
  for (let n = 1; n < frame.length; n += 1) {
    const flat = (frame[n] ?? 0) - 0.9 * (frame[n - 1] ?? 0);
    // The mean of three neighbours, as 1 2 1: 6 dB down at 4 kHz, 17 dB at 6 kHz.
    const smooth = (flat + 2 * last + before) / 4;
    before = last;
    last = flat;
    sum += smooth * smooth;
  }
  return Math.max(-100, 10 * Math.log10(sum / frame.length + 1e-12));
}

function joined(frames: readonly Frame[]): Float32Array {
  const all = new Float32Array(frames.length * FRAME);
  frames.forEach(({ heard }, index) => all.set(heard, index * FRAME));
  return all;
}
