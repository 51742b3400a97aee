import { compile } from '../../src/grammar/compile.ts';
import type { Ruleset } from '../../src/grammar/ruleset.ts';
import { samples } from '../../src/grammar/samples.ts';
import type { OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { languageOf } from '../../src/running/language.ts';
import { loadGrammar } from '../support/grammar.ts';
import { closeCues } from './confusable-pairs.ts';
import { CUE_STEPS, HOLD_RULES, rulesOfStep } from './hearing-check.ts';
import {
  CUES,
  DIGITS,
  hasRecordings,
  HOW_TO_GET_THEM,
  humanCues,
  humanDigits,
  otherHumanWords,
  otherSentences,
  picker,
  RANGES,
  readings,
  spoken,
  type Said,
} from './hearing-material.ts';

export const SETS = ['readings', 'low', 'digits', 'cues', 'twins', 'human-cues', 'other', 'other-words'] as const;
export type SetName = (typeof SETS)[number];

/** What is counted of a set: needles, words of a closed list, cues of a step, or callouts that nobody made. */
export type Kind = 'readings' | 'words' | 'cues' | 'other';

export const KIND: Readonly<Record<SetName, Kind>> = {
  readings: 'readings',
  low: 'readings',
  digits: 'words',
  cues: 'cues',
  twins: 'cues',
  'human-cues': 'words',
  other: 'other',
  'other-words': 'other',
};

/** Sound of one set that is heard in one go, and what is listened for. */
export interface Batch {
  readonly ruleset: Ruleset;
  readonly said: readonly Said[];
}

export interface Draw {
  readonly count: number;
  readonly seed: number;
  readonly voices: readonly OperatorVoice[];
}

export const grammar = loadGrammar();
export const language = languageOf(grammar);

/** What a hold's step listens for: readings, some cues, and the commands. */
const hold = compile(grammar, HOLD_RULES, 'psi');

/** Words that the bench listens for and the grammars may lack. */
export const BENCH_WORDS: readonly string[] = [...DIGITS, ...CUES];

/** Said in one go; so many that the ear has found its noise floor, and so few that a run that is broken off loses little. */
const BATCH = 10;

/** What is drawn of a set, in parts that are each heard in one go; nothing, with a line that says so, where the recordings of it are absent. */
export async function batchesOf(set: SetName, draw: Draw): Promise<readonly Batch[]> {
  const isOfPeople = set === 'digits' || set === 'human-cues' || set === 'other-words';
  if (isOfPeople && !hasRecordings()) {
    console.log(`SKIPPED: the set ${set}. ${HOW_TO_GET_THEM}`);
    return [];
  }
  const { count, seed, voices } = draw;
  switch (set) {
    case 'readings':
    case 'low':
      return inBatches(hold, await readings(count, seed, voices, RANGES[set]));
    case 'digits':
      return inBatches(closed('digits', DIGITS), drawn(humanDigits(), draw));
    case 'human-cues':
      return inBatches(closed('cuewords', CUES), drawn(humanCues(), draw));
    case 'cues':
      return cues(draw, ({ cues }) => cues.flatMap(wordings));
    case 'twins':
      return cues(draw, ({ step }) => twins(step));
    case 'other':
      return inBatches(hold, await otherSentences(count, seed, voices));
    case 'other-words':
      return inBatches(hold, drawn(otherHumanWords(), draw));
  }
}

type CueStep = (typeof CUE_STEPS)[number];

function wordings(cue: string): readonly string[] {
  return [...samples(grammar, { rules: [cue], unit: 'psi' }, 1)].map(({ text }) => text);
}

/** Cues that sound like another one of their step, or like their own denial. */
async function twins(step: string): Promise<readonly string[]> {
  const close = await closeCues(step, 2);
  return [...new Set(close.flatMap(({ said, heard }) => [said.text, heard.text]))];
}

/** Cues as they are said in the steps that wait for them, by turns of the steps. */
async function cues(
  { count, seed, voices }: Draw,
  phrasesOf: (of: CueStep) => readonly string[] | Promise<readonly string[]>,
): Promise<readonly Batch[]> {
  const pick = picker(seed);
  const ofSteps: { readonly step: string; readonly phrases: string[]; readonly said: Said[] }[] = [];
  for (const of of CUE_STEPS) {
    const phrases = await phrasesOf(of);
    if (phrases.length > 0) ofSteps.push({ step: of.step, phrases: [...phrases], said: [] });
  }
  for (let n = 0; n < count; n += 1) {
    const of = ofSteps[n % ofSteps.length];
    const voice = voices[(n + Math.floor(n / ofSteps.length)) % voices.length] ?? 'rms';
    // None twice, while there are others.
    const [text] = of?.phrases.splice(pick(of.phrases.length), 1) ?? [];
    if (text !== undefined) of?.said.push(await spoken(text, voice));
  }
  return ofSteps.flatMap(({ step, said }) => inBatches(compile(grammar, rulesOfStep(step), 'psi'), said));
}

function closed(name: string, words: readonly string[]): Ruleset {
  return {
    id: name,
    rules: [name],
    jsgf: `#JSGF V1.0;\ngrammar ${name};\npublic <active> = ${words.join(' | ')};\n`,
    words: [...words].sort(),
    phrases: words,
  };
}

/** `count` of them, drawn without returning any; the same for the same seed. */
function drawn(all: readonly Said[], { count, seed }: Draw): readonly Said[] {
  const pick = picker(seed);
  const left = [...all];
  return Array.from({ length: Math.min(count, left.length) }, () => left.splice(pick(left.length), 1)).flat();
}

function inBatches(ruleset: Ruleset, said: readonly Said[]): readonly Batch[] {
  const batches: Batch[] = [];
  for (let from = 0; from < said.length; from += BATCH) batches.push({ ruleset, said: said.slice(from, from + BATCH) });
  return batches;
}
