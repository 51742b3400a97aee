import type { Speech } from './flite.ts';
import { isTone, SWEEP, sweepSound, tone, toneSound } from './tones.ts';
import type { VoicePack } from './voice-pack.ts';
import type { Saying, Speaker } from './voice.ts';
import type { Note, Played } from '../units/played.ts';
import type { Ms } from '../units/time.ts';
import type { PAUSES } from './wording-phrases.ts';

/** Makes a sound heard. */
export interface Player {
  /** Resolves when the sound has left the loudspeaker or was cut. Rejects when there is no sound output. */
  play(sound: Played, saying: Saying): Promise<void>;
}

export interface EmbeddedSources {
  /** The clips of the fixed phrases; undefined when they are missing. Called once, at the first phrase. */
  loadPack(): Promise<VoicePack | undefined>;
  /** Speaks any other phrase; undefined when the synthesiser is missing. */
  synthesise(phrase: string): Promise<Speech | undefined>;
}

/** Silence that a pause mark stands for, in ms, besides the clips' own margins. */
const PAUSE_MS: Readonly<Record<(typeof PAUSES)[number], number>> = {
  ',': 110,
  ';': 200,
  ':': 200,
  '.': 320,
  '?': 320,
};

/**
 * The voice that comes with the app: clips made at build time, and live synthesis for everything else, joined into one
 * sound. It leaves to others what has a phrase that neither can make; with `unsaid` it says the rest, with a tone for the eye in its place,
 * and tells the phrase.
 */
export function embeddedSpeaker(sources: EmbeddedSources, player: Player, unsaid?: (phrase: string) => void): Speaker {
  let pack: Promise<VoicePack | undefined> | undefined;
  return {
    async say(phrases, saying) {
      pack ??= sources.loadPack();
      const clips = await pack;
      const parts: (Played | number)[] = [];
      let isShown = false;
      for (const phrase of phrases) {
        const ready = pauseMs(phrase) ?? madeHere(phrase) ?? clips?.clip(phrase);
        const part = ready ?? (await sources.synthesise(phrase));
        if (part === undefined && unsaid === undefined) return false;
        if (part !== undefined) parts.push(part);
        else {
          if (!isShown) parts.push(toneSound(tone('asked')));
          isShown = true;
          unsaid?.(phrase);
        }
      }
      const speech = join(parts);
      if (speech === undefined) return false;
      if (!saying.cut.aborted) await player.play(phrases.every(isTone) ? { ...speech, tone: true } : speech, saying);
      return true;
    },
  };
}

/** How long this voice takes for an answer, in ms; undefined where the clips lack a phrase. */
export function spokenMs(phrases: readonly string[], pack: VoicePack): Ms | undefined {
  let ms = 0;
  let paused = 0;
  for (const phrase of phrases) {
    const pause = pauseMs(phrase);
    if (pause !== undefined) {
      paused += pause;
      continue;
    }
    const sound = madeHere(phrase) ?? pack.clip(phrase);
    if (sound === undefined) return undefined;
    // A pause at the end is left out.
    ms += paused + (sound.samples.length * 1000) / sound.rate;
    paused = 0;
  }
  return ms;
}

function madeHere(phrase: string): Played | undefined {
  if (phrase === SWEEP) return sweepSound();
  return isTone(phrase) ? toneSound(phrase) : undefined;
}

function pauseMs(phrase: string): number | undefined {
  return Object.hasOwn(PAUSE_MS, phrase) ? PAUSE_MS[phrase as keyof typeof PAUSE_MS] : undefined;
}

/** Of full scale: what is softer at the beginning of an answer is no sound of it. */
const AUDIBLE = 1e-3;
/** Silence that is left before it, in ms. */
const LEAD_MS = 5;

function leadOf(samples: Float32Array, rate: number): number {
  const first = samples.findIndex((sample) => Math.abs(sample) > AUDIBLE);
  return Math.max(0, first - Math.round((LEAD_MS * rate) / 1000));
}

/**
 * One sound of sounds and pauses in ms, at the rate of the first sound; undefined when there is none. The pause at its end is left out, and
 * the silence at its beginning, which an answer would wait for.
 */
function join(all: readonly (Played | number)[]): Played | undefined {
  const parts = all.slice(0, all.findLastIndex((part) => typeof part !== 'number') + 1);
  const sounds = parts.filter((part) => typeof part !== 'number');
  const rate = sounds[0]?.rate;
  if (rate === undefined) return undefined;
  const lengths = parts.map((part) =>
    typeof part === 'number' ? Math.round((part * rate) / 1000) : part.samples.length,
  );
  const samples = new Float32Array(lengths.reduce((sum, length) => sum + length, 0));
  const notes: Note[] = [];
  let at = 0;
  parts.forEach((part, i) => {
    if (typeof part !== 'number') {
      samples.set(part.samples, at);
      for (const note of part.notes ?? []) notes.push({ ...note, from: at + note.from, to: at + note.to });
    }
    at += lengths[i] ?? 0;
  });
  const lead = leadOf(samples, rate);
  return {
    samples: samples.subarray(lead),
    rate,
    notes: notes.map((note) => ({ ...note, from: note.from - lead, to: note.to - lead })),
  };
}

/** The sound begins at a moment that is known, not when the browser comes to it; in seconds. */
const START_IN = 0.01;
/** A suspended context that takes longer than this to run is waiting for a press that will not come, in seconds. */
const LONGEST_RESUME = 1;
/** A context that is interrupted (a phone call) never ends its sounds: give up this long after they were due, in seconds. */
const GRACE = 2;

/**
 * Plays through WebAudio. The context is made at the first answer, which follows a press of the user: browsers start
 * none without one. With one that stays suspended `play` rejects, and the words are only shown.
 */
export function webAudioPlayer(makeContext: () => AudioContext): Player {
  let context: AudioContext | undefined;
  return {
    async play(speech, { settings, cut, sounding }) {
      context ??= makeContext();
      const running = context;
      if (running.state !== 'running') {
        await Promise.race([running.resume(), seconds(LONGEST_RESUME)]);
        // Read again: the state has changed behind the type checker's back.
        if ((running.state as AudioContextState) !== 'running') throw new Error('sound output is suspended');
      }
      const buffer = running.createBuffer(1, speech.samples.length, speech.rate);
      buffer.getChannelData(0).set(speech.samples);
      const source = new AudioBufferSourceNode(running, { buffer, playbackRate: settings.rate });
      const gain = new GainNode(running, { gain: settings.volume });
      source.connect(gain).connect(running.destination);
      const ended = new Promise<void>((resolve) => {
        source.onended = () => resolve();
      });
      const stop = (): void => source.stop();
      cut.addEventListener('abort', stop);
      const begins = running.currentTime + START_IN;
      source.start(begins);
      sounding({ ...speech, rate: speech.rate * settings.rate }, msUntil(begins, running));
      await Promise.race([ended, seconds(buffer.duration / settings.rate + GRACE)]);
      cut.removeEventListener('abort', stop);
      gain.disconnect();
      // What has left the graph still takes the output latency to be heard.
      if (!cut.aborted) await seconds(running.outputLatency || 0);
    },
  };
}

/** When the sound at `at` s of the context leaves the loudspeaker, from now; without its latency where the browser does not tell. */
function msUntil(at: number, context: AudioContext): number {
  // Absent in some browsers, whatever the type says; without a device both times are 0.
  const { contextTime = 0, performanceTime = 0 } =
    (context as Partial<AudioContext>).getOutputTimestamp?.call(context) ?? {};
  if (performanceTime === 0) return (at - context.currentTime) * 1000;
  // Only how the two clocks of the sound card and of the page lie to each other: no time of the check.
  // oxlint-disable-next-line no-restricted-properties
  return performanceTime + (at - contextTime) * 1000 - performance.now();
}

function seconds(length: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, length * 1000));
}
