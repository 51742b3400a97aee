import process from 'node:process';
import { parseArgs } from 'node:util';
import { randomFrom } from '../../src/airsystem/scenario.ts';
import { speechEdges, mixTrack } from '../../src/cli/operator/operator-sound.ts';
import { createHearing } from '../../src/hearing/hearing.ts';
import type { Heard } from '../../src/hearing/port.ts';
import { languageOf } from '../../src/running/language.ts';
import { msToSamples, SAMPLE_RATE } from '../../src/units/time.ts';
import { Busy } from '../support/tube/busy.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { tubeWorker } from '../support/tube/tube-worker.ts';

/**
 * `npm run bench -- pauses [--readings N]`: readings with a pause of 100 to 600 ms between the needles, in a quiet cab and over a diesel, heard
 * by our own ear: how many came as two callouts, or with a number cut in two.
 */
const { values } = parseArgs({ options: { readings: { type: 'string', default: '500' } } });
const count = Number(values.readings);
const VOICES = ['rms', 'slt'] as const;
const BETWEEN_MS = 2_000;
const WORDS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

const host = await nodeHost();
const language = languageOf(host.grammar);
const random = randomFrom(7);
const figures = { split: 0, lost: 0, wrong: 0 };
for (let nth = 0; nth < count; nth += 1) {
  const value = 60 + Math.floor(70 * random());
  const [first, second] = [said('primary', value), said('secondary', value - Math.floor(3 * random()))];
  const voice = VOICES[nth % VOICES.length] ?? 'rms';
  const pause = 100 + Math.floor(500 * random());
  const [one, two] = await Promise.all([host.speak(first, voice), host.speak(second, voice)]);
  const end = speechEdges(one.samples, one.rate).end;
  const onset = speechEdges(two.samples, two.rate).onset;
  const at = BETWEEN_MS + end + pause - onset;
  const length = at + (1000 * two.samples.length) / two.rate + BETWEEN_MS;
  const heard = await hear(
    mixTrack(
      [
        { at: BETWEEN_MS, samples: one.samples },
        { at, samples: two.samples },
      ],
      length,
      {
        floorDb: -55,
        seed: nth + 1,
        ...(nth % 4 === 3 ? { dieselSnrDb: 15 } : {}),
      },
    ),
  );
  const texts = heard.map(({ text }) => text).filter((text) => text !== '');
  if (texts.length > 1) figures.split += 1;
  else if (texts.length === 0) figures.lost += 1;
  else if (texts[0] !== `${first} ${second}`) figures.wrong += 1;
  if (texts.length !== 1) console.log(`  ${first}, ${pause} ms, ${second}: ${texts.join(' | ')}`);
}
console.log(
  `pauses: ${figures.split} of ${count} readings split (wanted: 0), ${figures.lost} not heard, ${figures.wrong} with another word`,
);
await host.close();
process.exit(figures.split > 0 ? 1 : 0);

function said(circuit: string, value: number): string {
  return [circuit, ...Array.from(String(value), (digit) => WORDS[Number(digit)])].join(' ');
}

async function hear(sound: Float32Array): Promise<readonly Heard[]> {
  const all: Heard[] = [];
  const hearing = createHearing(
    {
      spawn: () => tubeWorker((_model, restarted) => host.engine('own', () => undefined, restarted), new Busy()),
      model: '',
      live: true,
      patienceMs: 1e9,
    },
    {
      heard: (heard) => void all.push(heard),
      clock: () => undefined,
      problem: ({ what }) => console.log(`  ${what}`),
    },
  );
  hearing.listenFor(language.ruleset(['hold', 'repaired'], 'psi'));
  await hearing.ready;
  for (let from = 0; from < sound.length; from += msToSamples(100))
    await hearing.feed(sound.subarray(from, from + msToSamples(100)), SAMPLE_RATE);
  await hearing.flush();
  await hearing.close();
  return all;
}
