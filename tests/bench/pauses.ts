import process from 'node:process';
import { parseArgs } from 'node:util';
import { randomFrom } from '../../src/airsystem/scenario.ts';
import { speechEdges, mixTrack } from '../../src/cli/operator/operator-sound.ts';
import { createHearing } from '../../src/hearing/hearing.ts';
import type { Heard } from '../../src/hearing/port.ts';
import { languageOf } from '../../src/running/language.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs, type Ms } from '../../src/units/time.ts';
import { Busy } from '../support/tube/busy.ts';
import { quantile } from '../support/tube/conversation.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { tubeWorker } from '../support/tube/tube-worker.ts';

/**
 * `npm run bench -- pauses [--readings N] [--seed S]`: readings with a pause of 100 to 600 ms between the needles, in a quiet cab and over a
 * diesel, heard by our own ear, one after the other: how many came as two callouts, or with a number cut in two, and how long after the end of
 * the last word they were told.
 */
const { values } = parseArgs({
  options: { readings: { type: 'string', default: '500' }, seed: { type: 'string', default: '7' } },
});
const count = Number(values.readings);
const VOICES = ['rms', 'slt'] as const;
const CABS = ['quiet', 'quiet', 'quiet', 'diesel 15 dB below'] as const;
const BETWEEN_MS = 1_700;
/** Readings that are heard in one go. */
const BATCH = 20;
const STEP = msToSamples(20);
const WORDS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

type Edges = ReturnType<typeof speechEdges>;

interface Reading {
  readonly text: string;
  readonly pause: Ms;
  readonly at: Ms;
  readonly end: Ms;
}

const host = await nodeHost();
const language = languageOf(host.grammar);
const random = randomFrom(Number(values.seed));
const figures = { split: 0, lost: 0, wrong: 0 };
const told = { quiet: [] as Ms[], diesel: [] as Ms[] };
for (let nth = 0; nth < count; nth += BATCH) {
  const cab = CABS[(nth / BATCH) % CABS.length] ?? 'quiet';
  const { readings, placed, length } = await drawn(Math.min(BATCH, count - nth));
  const noise = { floorDb: -55, seed: nth + 1, ...(cab === 'quiet' ? {} : { dieselSnrDb: 15 }) };
  const heard = await hear(mixTrack(placed, length, noise));
  for (const { text, pause, at, end } of readings) {
    const of = heard.filter((each) => each.text !== '' && each.start < end && each.end > at);
    const [first] = of;
    if (first === undefined) figures.lost += 1;
    else if (of.length > 1) figures.split += 1;
    else {
      if (first.text !== text) figures.wrong += 1;
      told[cab === 'quiet' ? 'quiet' : 'diesel'].push(first.told - end);
    }
    if (of.length !== 1) console.log(`  ${text}, ${pause} ms, ${cab}: ${of.map((each) => each.text).join(' | ')}`);
  }
}
console.log(
  `pauses: ${figures.split} of ${count} readings split (wanted: 0), ${figures.lost} not heard, ${figures.wrong} with another word; ` +
    `told after the last word: quiet ${times(told.quiet)}, diesel ${times(told.diesel)}`,
);
await host.close();
process.exit(figures.split > 0 ? 1 : 0);

function times(of: readonly Ms[]): string {
  return `median ${quantile(of, 0.5)?.toFixed(0)}, p95 ${quantile(of, 0.95)?.toFixed(0)} ms of ${of.length}`;
}

function said(circuit: string, value: number): string {
  return [circuit, ...Array.from(String(value), (digit) => WORDS[Number(digit)])].join(' ');
}

/** So many readings, and where their words lie in one track. */
async function drawn(count: number) {
  const readings: Reading[] = [];
  const placed: { at: Ms; samples: Float32Array }[] = [];
  let length = BETWEEN_MS;
  for (let nth = 0; nth < count; nth += 1) {
    const value = 60 + Math.floor(70 * random());
    const [first, second] = [said('primary', value), said('secondary', value - Math.floor(3 * random()))];
    const voice = VOICES[nth % VOICES.length] ?? 'rms';
    const pause = 100 + Math.floor(500 * random());
    const [one, two] = await Promise.all([host.speak(first, voice), host.speak(second, voice)]);
    const [edges, others] = [one, two].map(({ samples, rate }) => speechEdges(samples, rate)) as [Edges, Edges];
    const at = length + edges.end + pause - others.onset;
    placed.push({ at: length, samples: one.samples }, { at, samples: two.samples });
    readings.push({ text: `${first} ${second}`, pause, at: length + edges.onset, end: at + others.end });
    length = at + others.end + BETWEEN_MS;
  }
  return { readings, placed, length };
}

/** What was heard, and when it was told. */
async function hear(sound: Float32Array): Promise<readonly (Heard & { readonly told: Ms })[]> {
  const all: (Heard & { readonly told: Ms })[] = [];
  let fed = 0;
  const hearing = createHearing(
    {
      spawn: () => tubeWorker((_model, restarted) => host.engine('own', () => undefined, restarted), new Busy()),
      model: '',
      live: true,
      patienceMs: 1e9,
    },
    {
      heard: (heard) => void all.push({ ...heard, told: samplesToMs(fed) }),
      clock: () => undefined,
      problem: ({ what }) => console.log(`  ${what}`),
    },
  );
  hearing.listenFor(language.ruleset(['hold', 'repaired'], 'psi'));
  await hearing.ready;
  for (let from = 0; from < sound.length; from += STEP) {
    fed = from + STEP;
    await hearing.feed(sound.subarray(from, fed), SAMPLE_RATE);
  }
  await hearing.flush();
  await hearing.close();
  return all;
}
