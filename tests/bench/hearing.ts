import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { OPERATOR_VOICES, type OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import type { EngineId } from '../../src/units/engine.ts';
import { openEngine, type OpenEngine } from './hearing-engines.ts';
import { benchItems, ITEM_RULESETS } from './hearing-items.ts';
import { ATTRIBUTION, hasRecordings } from './hearing-material.ts';
import { measure, type Cost, type Row } from './hearing-measure.ts';
import { embeddedRecovery, voskRecovery, type Recovery } from './hearing-recovery.ts';
import { closeMaterial, deniedMaterial, itemMaterial, type Phrase } from './items-material.ts';
import { materialSets, sampled, type MaterialSet } from './hearing-sets.ts';

/**
 * How well each engine hears, through the endpointer as in a check: synthetic readings, people's single words and digits, digit
 * strings glued from them, and speech that is not for us; quiet and over a synthetic diesel idle. Options: see the README here.
 */
const NOISE_DB = [undefined, 20, 10, 5] as const;
const SAMPLE = '12';
const RTF_TARGET: Readonly<Record<EngineId, number>> = { embedded: 0.25, vosk: 0.5 };

function percent(part: number, whole: number): string {
  return `${((100 * part) / Math.max(1, whole)).toFixed(0)} %`;
}

function quantile(values: readonly number[], share: number): string {
  const sorted = [...values].sort((a, b) => a - b);
  return `${(sorted[Math.floor(share * (sorted.length - 1))] ?? NaN).toFixed(0)} ms`;
}

function tableRow({ kind, name }: MaterialSet, db: number | undefined, row: Row): string {
  const share = (part: number): string => percent(part, row.said);
  const cells =
    kind === 'unrelated'
      ? ['', '', share(row.nothing), '', '', '', ((10 * row.wrong) / row.minutes).toFixed(1)]
      : [
          share(row.exact),
          share(row.wrong),
          share(row.nothing),
          share(row.asked),
          share(row.wrongTaken),
          kind === 'readings' ? share(row.wrongTakenInHold) : '',
          '',
        ];
  return `| ${[name, db === undefined ? 'quiet' : `${db} dB`, row.said, ...cells].join(' | ')} |`;
}

const HEAD = [
  '| set | noise | said | exact | wrong | nothing | asked | wrong but taken | the same in a hold | false callouts in 10 min |',
  '|---|---|---|---|---|---|---|---|---|---|',
];

async function bench(id: EngineId, title: string, sets: readonly MaterialSet[], open: OpenEngine): Promise<void> {
  const cost: Cost = { processor: 0, sound: 0, endpoint: [], result: [] };
  const total = NOISE_DB.length * sets.reduce((sum, { material }) => sum + material.length, 0);
  let count = 0;
  const done = (): void => {
    count += 1;
    if (process.stderr.isTTY || count % 50 === 0) process.stderr.write(`\r${title}: ${count} of ${total} utterances`);
  };
  console.log(`\n${title}\n\n${HEAD.join('\n')}`);
  for (const set of sets) {
    for (const db of NOISE_DB) console.log(tableRow(set, db, await measure(open.engine, set, db, cost, done)));
  }
  process.stderr.write('\n');
  console.log(
    [
      '',
      `real-time factor (processor time): ${(cost.processor / cost.sound).toFixed(2)} (target ${RTF_TARGET[id]})`,
      `end of last word to end told: median ${quantile(cost.endpoint, 0.5)}, p95 ${quantile(cost.endpoint, 0.95)}`,
      `end of last word to result, live: median ${quantile(cost.result, 0.5)} (target 450 ms), p95 ${quantile(cost.result, 0.95)} (target 800 ms)`,
      `memory: ${open.megabytes.toFixed(0)} MB more in the process with the engine loaded; loaded in ${open.loading.toFixed(0)} ms`,
    ].join('\n'),
  );
}

function tellRecovery(name: string, { killed, heard, took }: Recovery): void {
  console.log(
    `${name}: ${killed} workers killed while hearing, ${heard} utterances heard all the same, after ${quantile(took, 0.5)} in the median, ${quantile(took, 1)} at most`,
  );
}

const { values: options } = parseArgs({
  args: process.argv.slice(2),
  options: {
    model: { type: 'string' },
    engine: { type: 'string' },
    full: { type: 'boolean', default: false },
    sample: { type: 'string', default: SAMPLE },
    seed: { type: 'string', default: '1' },
    items: { type: 'boolean', default: false },
    alone: { type: 'boolean', default: false },
    close: { type: 'boolean', default: false },
    denied: { type: 'boolean', default: false },
    voice: { type: 'string', default: OPERATOR_VOICES.join(',') },
  },
});
const folder = await mkdtemp(join(tmpdir(), 'two-needles-bench-'));

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
  const other = await openEngine('embedded', wanted);
  if (typeof own === 'string' || typeof other === 'string') throw new Error('An ear is absent.');
  const voices = OPERATOR_VOICES.filter((voice): voice is OperatorVoice => options.voice.split(',').includes(voice));
  const rest = { voices, phrases: await itemPhrases() };
  if (options.engine !== 'embedded')
    await (options.alone
      ? benchItems({ title: 'Our own ear alone', first: own.engine, ...rest })
      : benchItems({ title: 'Our own ear, asking the other', first: own.engine, second: other.engine, ...rest }));
  if (options.engine !== 'vosk') await benchItems({ title: 'The embedded ear alone', first: other.engine, ...rest });
  await own.engine.close();
  await other.engine.close();
}

async function ofReadings(): Promise<void> {
  const all = await materialSets();
  const sets = options.full ? all : sampled(all, Number(options.sample), Number(options.seed));
  console.log(options.full ? 'Every recording.' : `${options.sample} of each set, drawn with seed ${options.seed}.`);
  for (const [id, title] of [
    ['embedded', 'Embedded engine'],
    ['vosk', `Vosk engine, ${options.model === 'tiny' ? 'tiny model' : (options.model ?? 'model in public/models')}`],
  ] as const) {
    if (options.engine !== undefined && options.engine !== id) continue;
    const open = await openEngine(id, { folder, model: options.model, rulesets: sets.map(({ ruleset }) => ruleset) });
    if (typeof open === 'string') console.log(`\n${title}: ABSENT. ${open}`);
    else {
      await bench(id, title, sets, open);
      await open.engine.close();
    }
  }
  console.log('');
  if (options.engine !== 'vosk') tellRecovery('embedded', await embeddedRecovery(folder));
  if (options.engine !== 'embedded') tellRecovery('vosk, tiny model', await voskRecovery());
  if (hasRecordings()) console.log(`\n${ATTRIBUTION}`);
}

try {
  await (options.items ? ofItems() : ofReadings());
} finally {
  await rm(folder, { recursive: true });
}
