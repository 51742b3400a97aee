import { expect, it } from 'vitest';
import { OWN_LATE_EDGES } from '../../../../src/hearing/vosk/model/late-edges.ts';
import { toHeard } from '../../../../src/hearing/vosk/heard-words.ts';
import { joined, noiseSource, samplesOf, syllable } from '../signals.ts';

const LEAD = 300;
const HUM = 400;
const WORD = 500;
const TRUE_EDGES = { start: LEAD + HUM, end: LEAD + HUM + WORD };

/** A word in the hum of an open microphone, between stretches that push-to-talk kept silent. */
function pressed(): Float32Array {
  const random = noiseSource(31);
  const silence = new Float32Array(samplesOf(LEAD));
  const hum = joined(new Float32Array(samplesOf(HUM)), syllable(WORD, 0.4), new Float32Array(samplesOf(HUM)));
  return joined(
    silence,
    hum.map((sample) => sample + 0.002 * random()),
    silence,
  );
}

it('the hum around a word is not taken for its sound, though push-to-talk lets nothing in around that', () => {
  const found = [{ word: 'settled', start: TRUE_EDGES.start / 1000, end: TRUE_EDGES.end / 1000, conf: 1 }];
  const { start, end } = toHeard(found, pressed(), 0);
  // Edges of holds are to be within 60 ms of the truth.
  expect(Math.abs(start - TRUE_EDGES.start)).toBeLessThanOrEqual(60);
  expect(Math.abs(end - TRUE_EDGES.end)).toBeLessThanOrEqual(60);
});

it('where noise hides the edges, words are moved by what was measured in noise, and elsewhere go by their sound', () => {
  const random = noiseSource(7);
  const hum = joined(new Float32Array(samplesOf(HUM)), syllable(WORD, 0.4), new Float32Array(samplesOf(HUM)));
  const found = [{ word: 'settled', start: 0.5, end: 0.8, conf: 1 }];
  const late = { start: 0.04, end: 0.04, inNoise: { start: 0.055, end: 0.025 } };
  const noisy = toHeard(
    found,
    hum.map((sample) => sample + 0.05 * random()),
    0,
    late,
  );
  expect([noisy.start, noisy.end]).toEqual([445, 775]);
  const quiet = toHeard(
    found,
    hum.map((sample) => sample + 0.0005 * random()),
    0,
    late,
  );
  expect(Math.abs(quiet.start - HUM)).toBeLessThanOrEqual(60);
  expect(Math.abs(quiet.end - HUM - WORD)).toBeLessThanOrEqual(60);
  // Over a diesel a callout of four voices that ends in “four” is told to end 50 ms too early, and one that ends in “five” 15 ms too late.
  const endOf = (word: string): number =>
    toHeard(
      [
        { word: 'four', start: 0.2, end: 0.4, conf: 1 },
        { word, start: 0.5, end: 0.8, conf: 1 },
      ],
      hum.map((sample) => sample + 0.05 * random()),
      0,
      OWN_LATE_EDGES,
    ).end;
  expect([endOf('settled'), endOf('four'), endOf('five')]).toEqual([775, 825, 760]);
});
