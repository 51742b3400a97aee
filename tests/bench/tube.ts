import process from 'node:process';
import { parseArgs } from 'node:util';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { msToSamples } from '../../src/units/time.ts';
import { drawn, seedOfRun } from '../support/seed.ts';
import { LADDER_36, ONE_HOLD, SHORT_HOLD, TENDER_34, WHOLE_CHECK } from '../support/tube/bench-rigs.ts';
import { CONTRADICTIONS } from '../support/tube/contradictions.ts';
import { calloutOf, edgesOf } from '../support/tube/edges.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { INTERRUPTS, NEVER_WAITS, WAITS } from '../support/tube/operator.ts';
import { OPERATOR_DB } from '../support/tube/room.ts';
import { dieselIdle, rms } from '../unit/hearing/signals.ts';
import { noise } from './hearing-noises.ts';
import { runTube, type TubeOptions } from '../support/tube/tube.ts';

/**
 * `npm run bench -- tube [--only TEXT] [--seed N]`: whole checks in the test tube: every demo rig, operators who wait, never wait and
 * interrupt, with and without the tool's voice in the microphone, and troubles at moments drawn from the seed; then words against what is measured. Each line has the verdict,
 * what was said again, what was not heard, the worst edge, and sound and processor time.
 */
const { values } = parseArgs({ options: { only: { type: 'string', default: '' }, seed: { type: 'string' } } });
if (values.seed !== undefined) process.env['TWO_NEEDLES_SEED'] = values.seed;

const ALOUD = { settings: { voice: true, talk: 'short' }, echo: { levelDb: -28, delay: 60 } } as const;
const FULL = { ...ALOUD, settings: { voice: true, talk: 'full' } } as const;
const kill = drawn('bench kills');
const close = drawn('bench closes');
const LONG = { longest: 40 * 60_000 };

/** Two diesels that share no code, so many dB below the operator. */
const DIESELS: readonly (readonly [string, (db: number) => TubeOptions['noise']])[] = [
  ['one diesel', (db) => ({ floorDb: -55, dieselSnrDb: db, seed: 71 })],
  ['another diesel', (db) => below(dieselIdle(msToSamples(60_000), 71), db)],
];
/** A minute of other people's speech without a stop, again and again. */
const RADIO = await noise('radio', msToSamples(60_000), 71);

function below(sound: Float32Array, db: number): Float32Array {
  const gain = 10 ** ((OPERATOR_DB - db) / 20) / rms(sound);
  return sound.map((sample) => gain * sample);
}

const CASES: readonly (readonly [string, TubeOptions])[] = [
  ['Engine 31, answered in writing, waits', WHOLE_CHECK],
  ['Engine 31, answered in writing, never waits', { ...WHOLE_CHECK, pace: NEVER_WAITS, voice: 'awb' }],
  ['Ladder 36 leaking, answered in writing, never waits', { ...WHOLE_CHECK, scenario: LADDER_36, pace: NEVER_WAITS }],
  ['Tender 34 slow, answered in writing, waits', { ...WHOLE_CHECK, ...LONG, scenario: TENDER_34, voice: 'kal16' }],
  [
    'Engine 31, diesel 20 dB below, waits',
    { ...WHOLE_CHECK, ...LONG, noise: { floorDb: -55, dieselSnrDb: 20, seed: 31 } },
  ],
  ...([WAITS, NEVER_WAITS, INTERRUPTS] as const).flatMap((pace): [string, TubeOptions][] => [
    [`Engine 31, answered aloud in short, ${pace.manner}`, { ...WHOLE_CHECK, ...ALOUD, ...LONG, pace }],
    [`Engine 31, answered aloud in full, ${pace.manner}`, { ...WHOLE_CHECK, ...FULL, ...LONG, pace }],
  ]),
  [
    'one hold, engine started 20 s into it',
    { ...ONE_HOLD, pace: { ...ONE_HOLD.pace, blurt: { text: 'engine started', after: 20_000 } }, longest: 8 * 60_000 },
  ],
  [
    'a short hold through 44.1 kHz, answered aloud in short, waits',
    { ...SHORT_HOLD, ...ALOUD, rate: 44_100, longest: 36_000 },
  ],
  ['one hold, a second of sound lost in it', { ...ONE_HOLD, gaps: [{ at: msToSamples(70_000), ms: 1000 }] }],
  ...Array.from({ length: 6 }, (_, nth): [string, TubeOptions] => {
    const at = Math.round(kill() * msToSamples(100_000));
    return [
      `one hold, hearing worker ${nth + 1} killed at sample ${at}`,
      { ...ONE_HOLD, kills: [{ at, what: 'hearing' }] },
    ];
  }),
  ...Array.from({ length: 6 }, (_, nth): [string, TubeOptions] => {
    const write = 2 + Math.floor(close() * 15);
    const when = close() < 0.5 ? 'before' : 'after';
    return [
      `one hold, page ${nth + 1} closed ${when} write ${write}`,
      { ...ONE_HOLD, away: 7_000, disk: { closes: (each) => (each === write ? when : undefined) } },
    ];
  }),
  ...[20, 10].flatMap((db): [string, TubeOptions][] => [
    [`Engine 31, rms, a radio, ${db} dB below`, { ...WHOLE_CHECK, ...LONG, noise: below(RADIO, db) }],
    [
      `Ladder 36 leaking, awb, a radio, ${db} dB below`,
      { ...WHOLE_CHECK, ...LONG, scenario: LADDER_36, voice: 'awb', noise: below(RADIO, db) },
    ],
  ]),
  ...DIESELS.flatMap(([made, noiseAt]) =>
    [20, 10, 5, 0].flatMap((db): [string, TubeOptions][] => [
      [`Engine 31, rms, ${made}, ${db} dB below`, { ...WHOLE_CHECK, ...LONG, noise: noiseAt(db) }],
      [
        `Ladder 36 leaking, awb, ${made}, ${db} dB below`,
        { ...WHOLE_CHECK, ...LONG, scenario: LADDER_36, voice: 'awb', noise: noiseAt(db) },
      ],
    ]),
  ),
];

/** What tells the operator that something is not as it ought to be. */
const AGAINST: ReadonlySet<string> = new Set([
  'question',
  'contradicted',
  'unfit-start',
  'repeat',
  'left',
  'sticks',
  'hold-not-over',
]);

const host = await nodeHost();
console.log(`tube: seed ${seedOfRun()}`);
for (const [name, options] of CASES) {
  if (!name.includes(values.only)) continue;
  const before = process.cpuUsage();
  const run = await runTube(host, options);
  const { user, system } = process.cpuUsage(before);
  const { verdict = 'not finished', results } = view(replay(run.events));
  const worst = Math.max(0, ...edgesOf(run).map(({ error }) => Math.abs(error)));
  const again = run.said.filter((said) => said.again).length;
  const unheard = run.said.filter((said) => calloutOf(run, said) === undefined).length;
  const faults = run.log === undefined ? ['no log'] : (await verifyLog(run.log)).faults;
  const failed = results.filter((result) => result.verdict !== 'pass').map(({ id, verdict: each }) => `${id} ${each}`);
  console.log(
    `tube: ${name}: ${run.finished ? verdict : 'NOT FINISHED'}${failed.length === 0 ? '' : ` (${failed.join(', ')})`}; ` +
      `${run.said.length} callouts, ${again} said again, ${unheard} not heard; worst edge ${worst.toFixed(0)} ms; ` +
      `log ${faults.length === 0 ? 'verified' : 'NOT VERIFIED'}; ${run.seconds.toFixed(0)} s of sound in ${((user + system) / 1e6).toFixed(0)} s of processor time`,
  );
}
for (const { name, options, verdicts } of CONTRADICTIONS) {
  const title = `said against what is measured: ${name}`;
  if (!title.includes(values.only)) continue;
  const before = process.cpuUsage();
  const run = await runTube(host, options);
  const { user, system } = process.cpuUsage(before);
  const { records } = replay(run.events);
  const told = run.answers.flatMap(({ answer: { type } }) => (AGAINST.has(type) ? [type] : []));
  const isSo = Object.entries(verdicts).every(
    ([step, verdict]) => records.find(({ id }) => id === step)?.result.verdict === verdict,
  );
  console.log(
    `tube: ${title}: ${isSo ? 'as it must be' : 'NOT AS IT MUST BE'}; ${[...new Set(told)].join(', ')}; ${run.seconds.toFixed(0)} s of sound in ${((user + system) / 1e6).toFixed(0)} s of processor time`,
  );
  for (const { id, result } of records) console.log(`  ${id}: ${result.verdict}: ${result.reason}`);
  if (!isSo) process.exitCode = 1;
}
await host.close();
process.exit();
