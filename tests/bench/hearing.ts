import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { OPERATOR_VOICES, type OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import type { EngineId } from '../../src/units/engine.ts';
import { openEngine, type OpenEngine } from './hearing-engines.ts';
import { benchItems, ITEM_RULESETS } from './hearing-items.ts';
import { keepLines, keptLines, type Line } from './hearing-lines.ts';
import { ATTRIBUTION, hasRecordings, HELD_OUT } from './hearing-material.ts';
import { NOISES, type Noise } from './hearing-noises.ts';
import { embeddedRecovery, voskRecovery, type Recovery } from './hearing-recovery.ts';
import { batchesOf, BENCH_WORDS, SETS, type Batch, type SetName } from './hearing-sets.ts';
import { hearBatch, type Cell, type Cost } from './hearing-stream.ts';
import { tables, toldAfter } from './hearing-table.ts';
import { closeMaterial, deniedMaterial, itemMaterial, type Phrase } from './items-material.ts';

/**
 * How well the ears hear, as a check uses them: readings, cues, people's single words, and speech that is not for us, in a stream, quiet and
 * over the noises of a cab. What was heard is kept in `reports/`, and the tables are made of all that is kept. Options: see the README here.
 */
const { values: options } = parseArgs({
  args: process.argv.slice(2),
  options: {
    set: { type: 'string', default: SETS.join(',') },
    noise: { type: 'string', default: 'diesel idle' },
    db: { type: 'string', default: 'quiet,10,5,0' },
    sample: { type: 'string', default: '10' },
    seed: { type: 'string', default: '1' },
    voice: { type: 'string' },
    /** `both`: our own with the other's second opinion; `embedded` alone. */
    ear: { type: 'string', default: 'both' },
    /** The second ear hears also what a check would not have asked it, for the calibration. */
    always: { type: 'boolean', default: false },
    model: { type: 'string' },
    keep: { type: 'string', default: fileURLToPath(new URL('../../reports/hearing.jsonl', import.meta.url)) },
    /** Nothing is heard: the tables of what is kept. */
    table: { type: 'boolean', default: false },
    voices: { type: 'boolean', default: false },
    recovery: { type: 'boolean', default: false },
    items: { type: 'boolean', default: false },
    alone: { type: 'boolean', default: false },
    close: { type: 'boolean', default: false },
    denied: { type: 'boolean', default: false },
  },
});
const folder = await mkdtemp(join(tmpdir(), 'two-needles-bench-'));

/** Those of a comma-separated list that there are; the others are a mistake that is told. */
function chosen<T extends string>(list: string, from: readonly T[]): T[] {
  return list.split(',').map((name) => {
    const found = from.find((each) => each === name.trim());
    if (found === undefined) throw new Error(`There is no “${name}”. There are: ${from.join(', ')}.`);
    return found;
  });
}

function cellsOf(set: SetName): Cell[] {
  const seed = Number(options.seed);
  return options.db.split(',').flatMap((level): Cell[] => {
    if (level === 'quiet') return [{ set, noise: 'quiet', db: null, seed }];
    const db = Number(level);
    if (!Number.isFinite(db)) throw new Error(`“${level}” is no level in dB, and not “quiet”.`);
    return chosen<Noise>(options.noise, NOISES).map((noise) => ({ set, noise, db, seed }));
  });
}

async function ofCells(): Promise<void> {
  const voices = chosen<OperatorVoice>(options.voice ?? HELD_OUT.join(','), OPERATOR_VOICES);
  const drawn = new Map<SetName, readonly Batch[]>();
  for (const set of chosen(options.set, SETS)) {
    drawn.set(set, await batchesOf(set, { count: Number(options.sample), seed: Number(options.seed), voices }));
  }
  const rulesets = [...drawn.values()].flat().map(({ ruleset }) => ruleset);
  const wanted = { folder, model: options.model, rulesets, words: BENCH_WORDS };
  const [first, second] = options.ear === 'embedded' ? ['embedded' as const] : (['vosk', 'embedded'] as const);
  const ear = await opened(first, wanted);
  const other = second === undefined ? undefined : await opened(second, { ...wanted, askedAbout: 'numbers' });
  const cost: Cost = { first: 0, second: 0, sound: 0 };
  const run: Line[] = [];
  for (const [set, batches] of drawn) {
    for (const cell of cellsOf(set)) {
      for (const batch of batches) {
        const lines = await hearBatch(
          cell,
          batch,
          { first: ear.engine, always: options.always, ...(other === undefined ? {} : { second: other.engine }) },
          cost,
        );
        keepLines(options.keep, lines);
        run.push(...lines);
      }
      process.stderr.write(
        `${set}, ${cell.noise}, ${cell.db ?? ''}: ${(cost.sound / 60_000).toFixed(1)} min of sound\n`,
      );
    }
  }
  const factor = (ms: number): string => (ms / cost.sound).toFixed(2);
  console.log(
    `real-time factor (processor time): first ear ${factor(cost.first)}, second ${factor(cost.second)} (together <= 0.6); ` +
      `${toldAfter(run)} (wanted: 300, 600)\n` +
      `memory of the first: ${ear.megabytes.toFixed(0)} MB more; loaded in ${ear.loading.toFixed(0)} ms`,
  );
  await ear.engine.close();
  await other?.engine.close();
}

async function opened(id: EngineId, wanted: Parameters<typeof openEngine>[1]): Promise<OpenEngine> {
  const open = await openEngine(id, wanted);
  if (typeof open === 'string') throw new Error(open);
  return open;
}

/** The tables of everything that is kept, of this run and of those before it. */
function tellTables(): void {
  const lines = keptLines([options.keep]);
  const own = lines.filter(({ ear }) => ear === 'vosk');
  const embedded = lines.filter(({ ear }) => ear === 'embedded');
  for (const [title, of, policy] of [
    ['Both ears, as a check uses them', own, 'both'],
    ['Our own ear alone', own, 'alone'],
    ['The embedded ear alone', embedded, 'alone'],
  ] as const) {
    if (of.length > 0) console.log(`\n${title}\n\n${tables(of, policy, options.voices)}`);
  }
  if (hasRecordings()) console.log(`\n${ATTRIBUTION}`);
}

async function ofRecovery(): Promise<void> {
  await opened('embedded', { folder, model: undefined, rulesets: ITEM_RULESETS });
  tellRecovery('embedded', await embeddedRecovery(folder));
  tellRecovery('vosk, tiny model', await voskRecovery());
}

function tellRecovery(name: string, { killed, heard, took }: Recovery): void {
  const sorted = took.toSorted((a, b) => a - b);
  const at = (share: number): string => (sorted[Math.floor(share * (sorted.length - 1))] ?? NaN).toFixed(0);
  console.log(
    `${name}: ${killed} workers killed while hearing, ${heard} utterances heard all the same, after ${at(0.5)} ms in the median, ${at(1)} ms at most`,
  );
}

/** Phrases of the whole pre-trip: any, or what is bad and sounds like what passes, which is listed, or good words denied. */
async function itemPhrases(): Promise<readonly Phrase[]> {
  const count = Number(options.sample);
  const seed = Number(options.seed);
  if (options.denied) return deniedMaterial(count, seed);
  if (!options.close) return itemMaterial(count, seed);
  const pairs = await closeMaterial(count, seed, [...new Set(ITEM_RULESETS.flatMap(({ words }) => words))]);
  for (const { bad, good, distance } of pairs) console.log(`${distance}: “${bad.text}” and “${good.text}”`);
  return pairs.map(({ bad }) => bad);
}

/** What is said of the items of the whole pre-trip: by our own ear with the other's second opinion, or alone, and by the other alone. */
async function ofItems(): Promise<void> {
  const wanted = { folder, model: options.model, rulesets: ITEM_RULESETS };
  const own = await openEngine('vosk', wanted);
  const other = await openEngine('embedded', { ...wanted, askedAbout: 'numbers' });
  if (typeof own === 'string' || typeof other === 'string') throw new Error('An ear is absent.');
  const voices = chosen<OperatorVoice>(options.voice ?? OPERATOR_VOICES.join(','), OPERATOR_VOICES);
  const rest = { voices, phrases: await itemPhrases() };
  if (options.ear !== 'embedded')
    await (options.alone
      ? benchItems({ title: 'Our own ear alone', first: own.engine, ...rest })
      : benchItems({ title: 'Our own ear, asking the other', first: own.engine, second: other.engine, ...rest }));
  if (options.ear !== 'own') await benchItems({ title: 'The embedded ear alone', first: other.engine, ...rest });
  await own.engine.close();
  await other.engine.close();
}

try {
  if (options.items) await ofItems();
  else if (options.recovery) await ofRecovery();
  else {
    if (!options.table) await ofCells();
    tellTables();
  }
} finally {
  await rm(folder, { recursive: true });
}
