import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { writeModel } from '../../src/cli/assets-model.ts';
import { voskRecogniser } from '../../src/cli/open-vosk.ts';
import { compile } from '../../src/grammar/compile.ts';
import { PRONUNCIATIONS } from '../../src/grammar/pronunciations.ts';
import type { Ruleset } from '../../src/grammar/ruleset.ts';
import { createEmbeddedEngine } from '../../src/hearing/embedded/recogniser.ts';
import { folderModelStore } from '../../src/hearing/embedded/store-node.ts';
import { createEndpointer, type EndpointEvent, type Utterance } from '../../src/hearing/endpointer.ts';
import type { Recogniser } from '../../src/hearing/port.ts';
import { samplesToMs } from '../../src/units/time.ts';
import { problemLine } from '../../src/units/outcome.ts';
import { loadGrammar } from '../support/grammar.ts';
import { buildTinyModel } from '../support/tiny-model/tiny-model.ts';
import { dieselIdle, joined, over, rms, silence } from '../unit/hearing/signals.ts';
import {
  ATTRIBUTION,
  CUES,
  DIGITS,
  gluedDigits,
  hasRecordings,
  syntheticReadings,
  unrelatedSentences,
  unrelatedWords,
  words,
  type Said,
} from './hearing-material.ts';

/**
 * How well each engine hears, through the endpointer as in a check: people's single words and digits, digit
 * strings glued from them, synthetic readings, and speech that is not for us; quiet and over synthetic diesel idle.
 * `--model PATH` names a Vosk model, `--model tiny` makes the one of the tests; without it the first in `public/models/`
 * is taken, and a model that is absent is reported as absent. `--engine NAME` leaves the other engine out.
 */
const NOISE_DB = [undefined, 20, 10, 5] as const;
const BEFORE = silence(2500);
const AFTER = silence(1000);

interface Row {
  said: number;
  exact: number;
  wrong: number;
  nothing: number;
  minutes: number;
}

interface Cost {
  /** Ms of processor time, and of sound, in decoding. */
  processor: number;
  sound: number;
  /** Ms from the end of the sound to the moment the endpointer tells, and to the result, were the sound live. */
  readonly endpoint: number[];
  readonly result: number[];
}

function closed(name: string, sentences: string, phrases: readonly string[]): Ruleset {
  const list = [...new Set(sentences.match(/[a-z]+/g))].sort();
  return {
    id: name,
    rules: [name],
    jsgf: `#JSGF V1.0;\ngrammar ${name};\npublic <active> = ${sentences};\n`,
    words: list,
    phrases,
  };
}

const grammar = loadGrammar();
const readings = compile(grammar, ['readings'], 'psi');
const anything = compile(grammar, ['anything'], 'psi');
const digitWords = closed('digits', DIGITS.join(' | '), DIGITS);
const cueWords = closed('cuewords', CUES.join(' | '), CUES);
const digitString = closed(
  'strings',
  `one (zero | one | two | three | four | five) (${DIGITS.join(' | ')})`,
  DIGITS.slice(0, 6).flatMap((second) => DIGITS.map((third) => `one ${second} ${third}`)),
);

async function openEmbedded(folder: string): Promise<Recogniser> {
  const rulesets = [anything, readings, digitWords, cueWords, digitString];
  const all = [...new Set(rulesets.flatMap((ruleset) => ruleset.words))];
  const model = await writeModel(folder, { words: all, pronunciations: PRONUNCIATIONS });
  if (!model.ok) throw new Error(model.problem.what);
  const engine = createEmbeddedEngine(folderModelStore(folder));
  await engine.load(() => undefined);
  return engine;
}

/** The vosk engine, or the line that says why it is absent. */
async function openVosk(folder: string, model: string | undefined): Promise<Recogniser | string> {
  const tiny = join(folder, 'tiny-model.tgz');
  if (model === 'tiny') await writeFile(tiny, await buildTinyModel());
  const engine = await voskRecogniser(model === 'tiny' ? tiny : model);
  if (!engine.ok) return problemLine(engine.problem);
  await engine.value.load(() => undefined);
  return engine.value;
}

function cut(sound: Float32Array): { readonly utterance: Utterance; readonly told: number }[] {
  const endpointer = createEndpointer();
  const found: { utterance: Utterance; told: number }[] = [];
  const take = (events: readonly EndpointEvent[], told: number): void => {
    for (const event of events) if (event.type === 'ended') found.push({ utterance: event.utterance, told });
  };
  for (let at = 0; at + 160 <= sound.length; at += 160) take(endpointer.next(sound.subarray(at, at + 160)), at + 160);
  take(endpointer.flush(), sound.length);
  return found;
}

async function hear(engine: Recogniser, sound: Float32Array, cost: Cost): Promise<string> {
  const texts: string[] = [];
  for (const { utterance, told } of cut(sound)) {
    const processor = process.cpuUsage();
    const heard = await engine.recognise(sound.slice(utterance.start, utterance.end), utterance.start);
    const { user, system } = process.cpuUsage(processor);
    const took = (user + system) / 1000;
    cost.processor += took;
    cost.sound += samplesToMs(utterance.end - utterance.start);
    if (heard.text === '') continue;
    texts.push(heard.text);
    const endpoint = samplesToMs(told) - heard.end;
    cost.endpoint.push(endpoint);
    // Decoding begins 200 ms before the end is told.
    cost.result.push(Math.max(endpoint, endpoint - 200 + took));
  }
  return texts.join(' ');
}

async function measure(
  engine: Recogniser,
  ruleset: Ruleset,
  material: readonly Said[],
  db: number | undefined,
  cost: Cost,
): Promise<Row> {
  await engine.setGrammar(ruleset);
  const row: Row = { said: material.length, exact: 0, wrong: 0, nothing: 0, minutes: 0 };
  for (const [i, { text, sound }] of material.entries()) {
    const whole = joined(BEFORE, sound, AFTER);
    const noisy = db === undefined ? whole : over(whole, dieselIdle(whole.length, i + 1), rms(sound), db);
    const heard = await hear(engine, noisy, cost);
    row.minutes += samplesToMs(sound.length) / 60_000;
    if (heard === '') row.nothing += 1;
    else if (heard === text) row.exact += 1;
    else row.wrong += 1;
  }
  return row;
}

function percent(part: number, whole: number): string {
  return `${((100 * part) / Math.max(1, whole)).toFixed(0)} %`.padStart(6);
}

function quantile(values: readonly number[], share: number): string {
  const sorted = [...values].sort((a, b) => a - b);
  return `${(sorted[Math.floor(share * (sorted.length - 1))] ?? NaN).toFixed(0)} ms`;
}

type Set = readonly [name: string, ruleset: Ruleset, material: readonly Said[]];

async function materialSets(): Promise<Set[]> {
  const sets: Set[] = [
    ['synthetic readings', readings, await syntheticReadings()],
    ['unrelated sentences (synthetic)', anything, await unrelatedSentences()],
  ];
  if (hasRecordings()) {
    sets.push(
      ['single human digits', digitWords, words(DIGITS)],
      ['single human cue words', cueWords, words(CUES)],
      ['human digits glued, 16 kHz', digitString, gluedDigits(60, 'speech-commands')],
      ['human digits glued, 8 kHz', digitString, gluedDigits(60, 'fsdd')],
      ['unrelated human words', anything, unrelatedWords()],
    );
  } else {
    console.log('SKIPPED: 5 sets of human recordings: ../shared/data is not there.');
  }
  return sets;
}

async function bench(engine: Recogniser, title: string, sets: readonly Set[], megabytes: number): Promise<void> {
  const cost: Cost = { processor: 0, sound: 0, endpoint: [], result: [] };
  console.log(`\n${title.padEnd(34)}noise    said  exact  wrong  nothing`);
  for (const [name, ruleset, material] of sets) {
    for (const db of NOISE_DB) {
      const row = await measure(engine, ruleset, material, db, cost);
      const noise = db === undefined ? 'quiet' : `${db} dB`;
      const falseCallouts =
        material[0]?.text === undefined
          ? `  ${(row.wrong / row.minutes).toFixed(1)} false callouts per minute of it`
          : '';
      console.log(
        `${name.padEnd(34)}${noise.padEnd(7)}${String(row.said).padStart(6)} ${percent(row.exact, row.said)} ${percent(row.wrong, row.said)}  ${percent(row.nothing, row.said)}${falseCallouts}`,
      );
    }
  }
  console.log(
    `real-time factor (processor time): ${(cost.processor / cost.sound).toFixed(2)} (target ${engine.id === 'vosk' ? '0.5' : '0.25'})`,
  );
  console.log(
    `end of last word to end told: median ${quantile(cost.endpoint, 0.5)}, p95 ${quantile(cost.endpoint, 0.95)}`,
  );
  console.log(
    `end of last word to result, live: median ${quantile(cost.result, 0.5)} (target 450 ms), p95 ${quantile(cost.result, 0.95)}`,
  );
  console.log(`memory: ${megabytes.toFixed(0)} MB more in the process with the engine loaded`);
}

const { values: options } = parseArgs({
  args: process.argv.slice(2),
  options: { model: { type: 'string' }, engine: { type: 'string' } },
});
const folder = await mkdtemp(join(tmpdir(), 'two-needles-bench-'));
try {
  const sets = await materialSets();
  for (const [id, title, open] of [
    ['embedded', 'hearing, embedded engine', () => openEmbedded(folder)],
    ['vosk', `hearing, vosk engine (${options.model ?? 'public/models'})`, () => openVosk(folder, options.model)],
  ] as const) {
    if (options.engine !== undefined && options.engine !== id) continue;
    const before = process.memoryUsage.rss();
    const engine = await open();
    if (typeof engine === 'string') console.log(`\n${title}: ABSENT. ${engine}`);
    else {
      await bench(engine, title, sets, (process.memoryUsage.rss() - before) / 1e6);
      await engine.close();
    }
  }
  console.log(
    '\nNoise is a synthetic diesel idle, not a recording of a cab. "Wrong" is before plausibility, read-back and asking.',
  );
  if (hasRecordings()) console.log(ATTRIBUTION);
} finally {
  await rm(folder, { recursive: true });
}
