import type { FliteVoice } from '../../../../src/answering/flite.ts';
import { compile } from '../../../../src/grammar/compile.ts';
import type { Ruleset } from '../../../../src/grammar/ruleset.ts';
import { loadGrammar } from '../../../support/grammar.ts';
import { renderedOnce } from '../voice.ts';

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
  const { samples } = await renderedOnce(text, voice);
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

const grammar = loadGrammar();

/** Readings as in a check; the tiny model has the digits for them. */
export const READINGS = compile(grammar, ['readings'], 'psi');

/** A step with two cues and a reading. */
export const EVENT = compile(grammar, ['event', 'buzzer', 'valve-popped'], 'psi');

/** Callouts with all words that the tiny model has beside the digits. */
export const CUES: Ruleset = {
  id: 'cues of the tiny model',
  rules: [],
  jsgf: '#JSGF V1.0;\ngrammar cues;\npublic <active> = start the hold | buzzer | valve popped;\n',
  words: ['buzzer', 'hold', 'popped', 'start', 'the', 'valve'],
  phrases: ['start the hold', 'buzzer', 'valve popped'],
};
