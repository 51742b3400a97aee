import type { Note } from '../units/played.ts';
import type { Speech } from './flite.ts';

/** Parts of a tone, one after the other: Hz and ms. 0 Hz is a pause. */
type Notes = readonly (readonly [hertz: number, ms: number])[];

/** Short sounds that stand for an answer; told apart by their course, not by their pitch alone. */
const NOTES = {
  /** Heard and taken: one short high note. */
  taken: [[1320, 70]],
  /** Heard and not taken: one low note. */
  'not-taken': [[240, 200]],
  /** Something is asked: two notes that rise. */
  asked: [
    [660, 110],
    [990, 160],
  ],
  /** A hold or window runs: one long middle note. */
  hold: [[660, 320]],
  /** Ten seconds are left: two short notes of one height. */
  ten: [
    [880, 70],
    [0, 80],
    [880, 70],
  ],
  /** Call the needles now: three short high notes. */
  call: [
    [1320, 90],
    [0, 60],
    [1320, 90],
    [0, 60],
    [1320, 90],
  ],
  /** Three notes that rise. */
  pass: [
    [660, 90],
    [830, 90],
    [990, 150],
  ],
  /** Up and down again. */
  marginal: [
    [660, 110],
    [830, 110],
    [660, 150],
  ],
  /** Two long notes that fall. */
  fail: [
    [440, 220],
    [220, 380],
  ],
  /** One note, a pause, and the same: there is no verdict. */
  'not judged': [
    [330, 160],
    [0, 120],
    [330, 160],
  ],
} as const satisfies Record<string, Notes>;

/** The tones in words, as the screen explains them. */
export const TONE_MEANINGS: Readonly<Record<ToneName, { readonly sounds: string; readonly means: string }>> = {
  taken: { sounds: 'one short high note', means: 'heard and taken' },
  'not-taken': { sounds: 'one low note', means: 'heard, not taken' },
  asked: { sounds: 'two notes that rise', means: 'a question is open' },
  hold: { sounds: 'one long note', means: 'a hold or window runs' },
  ten: { sounds: 'two short notes of one height', means: 'ten seconds left' },
  call: { sounds: 'three short high notes', means: 'call the needles now' },
  pass: { sounds: 'three notes that rise', means: 'pass' },
  marginal: { sounds: 'up and down again', means: 'marginal' },
  fail: { sounds: 'two long notes that fall', means: 'fail' },
  'not judged': { sounds: 'the same long low note twice', means: 'not judged' },
};

export type ToneName = keyof typeof NOTES;
export const TONE_NAMES = Object.keys(NOTES) as readonly ToneName[];

/** A tone among the phrases of an answer. */
export type TonePhrase = `tone:${ToneName}`;

/** The first sound of a check: a sweep, from whose echo the tool learns how its voice comes back into the microphone. */
export const SWEEP = 'sweep';
const SWEEP_SECONDS = 0.35;
const SWEEP_HERTZ = [150, 7_000] as const;

export function tone(name: ToneName): TonePhrase {
  return `tone:${name}`;
}

export function isTone(phrase: string): phrase is TonePhrase {
  return phrase.startsWith('tone:') && Object.hasOwn(NOTES, phrase.slice(5));
}

const RATE = 16_000;
/** Of full scale: as loud as the embedded voice. */
const LEVEL = 0.18;
/** A note comes and goes within this, or it would click. */
const RAMP = 0.008 * RATE;

/** Its pitch rises evenly by octaves, so that low notes last longest, as in speech. */
export function sweepSound(): Speech {
  const [low, high] = SWEEP_HERTZ;
  const octaves = Math.log(high / low);
  const length = Math.round(SWEEP_SECONDS * RATE);
  const samples = Float32Array.from({ length }, (_, n) => {
    const ramp = Math.min(1, n / RAMP, (length - n) / RAMP);
    const turns = (low * SWEEP_SECONDS * (Math.exp((octaves * n) / length) - 1)) / octaves;
    return LEVEL * ramp * Math.sin(2 * Math.PI * turns);
  });
  return { samples, rate: RATE };
}

/** The sound of a tone. */
export function toneSound(phrase: TonePhrase): Speech & { readonly notes: readonly Note[] } {
  const notes: Notes = NOTES[phrase.slice(5) as ToneName];
  const lengths = notes.map(([, ms]) => Math.round((ms * RATE) / 1000));
  const samples = new Float32Array(lengths.reduce((sum, length) => sum + length, 0));
  const sounds: Note[] = [];
  let from = 0;
  notes.forEach(([hertz], index) => {
    const length = lengths[index] ?? 0;
    for (let n = 0; n < length; n += 1) {
      const ramp = Math.min(1, n / RAMP, (length - n) / RAMP);
      samples[from + n] = LEVEL * ramp * Math.sin((2 * Math.PI * hertz * n) / RATE);
    }
    if (hertz > 0) sounds.push({ from, to: from + length, pitch: hertz / RATE });
    from += length;
  });
  return { samples, rate: RATE, notes: sounds };
}
