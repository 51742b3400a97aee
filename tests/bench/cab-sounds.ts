import { parseArgs } from 'node:util';
import { randomFrom } from '../../src/airsystem/scenario.ts';
import { createSoundWatch } from '../../src/hearing/sound-watch.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';
import { dieselIdle, joined, noiseSource, over, rms, samplesOf, silence } from '../unit/hearing/signals.ts';
import { speak } from '../unit/hearing/voice.ts';
import { otherSentence, picker } from './hearing-material.ts';
import { withInterval } from './interval.ts';

/**
 * `npm run bench -- cab-sounds [--sounds N] [--seed S]`: buzzers and beeps, and air let go, each drawn, alone in a cab over a diesel, and what is proposed
 * of them; and of sentences and slammed doors, of which nothing is to be proposed.
 */
const { values } = parseArgs({
  options: { sounds: { type: 'string', default: '200' }, seed: { type: 'string', default: '1' } },
});
const COUNT = Number(values.sounds);
/** A proposal belongs to the sound where it begins no further from it, in s. */
const NEAR = 0.3;
const BEFORE = 2;

const KINDS = ['steady-tone', 'air-burst', 'sentence', 'door'] as const;
type Kind = (typeof KINDS)[number];

async function soundOf(kind: Kind, seed: number): Promise<Float32Array> {
  const random = randomFrom(seed);
  const between = (from: number, to: number): number => from + (to - from) * random();
  const noise = noiseSource(seed);
  if (kind === 'sentence') {
    const pick = picker(seed);
    return speak(otherSentence(pick), pick(2) === 0 ? 'slt' : 'rms');
  }
  if (kind === 'door') return dying(samplesOf(between(80, 160)), between(200, 600), noise);
  if (kind === 'air-burst') {
    const length = samplesOf(between(350, 1500));
    return dying(length, length / between(2, 4), noise);
  }
  // Buzzers are square waves of a few hundred hertz, beepers sines of a few thousand: common practice, no source.
  const isBuzzer = random() < 0.5;
  const hz = isBuzzer ? between(300, 800) : between(1_800, 4_000);
  const [period, on] = random() < 0.5 ? [1, 1] : [samplesOf(between(200, 500)), between(0.65, 0.9)];
  return Float32Array.from({ length: samplesOf(between(2_000, 4_000)) }, (_, n) => {
    if ((n % period) / period >= on) return 0;
    const turns = (hz * n) / SAMPLE_RATE;
    return isBuzzer ? (turns % 1 < 0.5 ? 0.2 : -0.2) : 0.3 * Math.sin(2 * Math.PI * turns);
  });
}

function dying(length: number, fall: number, noise: () => number): Float32Array {
  return Float32Array.from({ length }, (_, n) => 0.5 * noise() * Math.exp(-n / fall));
}

interface Proposal {
  readonly kind: string;
  readonly at: number;
}

function proposalsOf(sound: Float32Array): readonly Proposal[] {
  const watch = createSoundWatch();
  const found: Proposal[] = [];
  const step = SAMPLE_RATE / 10;
  for (let at = 0; at < sound.length; at += step) {
    watch.push(sound.subarray(at, at + step));
    const now = Math.min(sound.length, at + step) / SAMPLE_RATE;
    for (const { kind, ago } of watch.report().cabSounds ?? []) found.push({ kind, at: now - ago / 1000 });
  }
  return found;
}

console.log(
  '| level | sound | found | proposals of it that were right | of sentences | of doors |\n|---|---|---|---|---|---|',
);
for (const snr of [20, 10, 5]) {
  const found: Record<string, number> = {};
  const proposed: Record<string, number> = {};
  for (const kind of KINDS) {
    for (let nth = 0; nth < COUNT; nth += 1) {
      const seed = Number(values.seed) * 100_000 + nth;
      const sound = await soundOf(kind, seed);
      const track = joined(silence(BEFORE * 1000), sound, silence(2000));
      const proposals = proposalsOf(over(track, dieselIdle(track.length, seed), rms(sound), snr));
      for (const each of proposals) proposed[`${kind} ${each.kind}`] = (proposed[`${kind} ${each.kind}`] ?? 0) + 1;
      if (proposals.some((each) => each.kind === kind && Math.abs(each.at - BEFORE) <= NEAR))
        found[kind] = (found[kind] ?? 0) + 1;
    }
  }
  for (const kind of ['steady-tone', 'air-burst']) {
    const all = KINDS.reduce((sum, of) => sum + (proposed[`${of} ${kind}`] ?? 0), 0);
    console.log(
      `| ${snr} dB | ${kind} | ${withInterval(found[kind] ?? 0, COUNT)} | ${withInterval(found[kind] ?? 0, all)} | ${proposed[`sentence ${kind}`] ?? 0} of ${COUNT} | ${proposed[`door ${kind}`] ?? 0} of ${COUNT} |`,
    );
  }
}
