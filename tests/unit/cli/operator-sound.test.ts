import { describe, expect, it } from 'vitest';
import { mixTrack, power, speechEdges } from '../../../src/cli/operator/operator-sound.ts';

const RATE = 16_000;

/** Silence, a tone, silence; lengths in ms. */
function burst(before: number, tone: number, after: number): Float32Array {
  const per = RATE / 1000;
  return Float32Array.from({ length: (before + tone + after) * per }, (_, i) =>
    i >= before * per && i < (before + tone) * per ? 0.3 * Math.sin(i / 3) : 0,
  );
}

const decibels = (samples: Float32Array): number => 10 * Math.log10(power(samples));

describe('the sound of the synthetic operator', () => {
  it('finds where the words begin and end to within 5 ms', () => {
    const { onset, end } = speechEdges(burst(150, 400, 250), RATE);
    expect(Math.abs(onset - 150)).toBeLessThanOrEqual(5);
    expect(Math.abs(end - 550)).toBeLessThanOrEqual(5);
  });

  it('puts a clip where the truth says, over a noise floor at the level asked for', () => {
    const clip = { at: 2000, samples: burst(0, 500, 0) };
    const track = mixTrack([clip], 4000, { floorDb: -90, seed: 1 });
    const { onset, end } = speechEdges(track, RATE);
    expect(Math.abs(onset - 2000)).toBeLessThanOrEqual(5);
    expect(Math.abs(end - 2500)).toBeLessThanOrEqual(5);
    expect(decibels(mixTrack([clip], 4000, { floorDb: -55, seed: 1 }).subarray(0, RATE))).toBeCloseTo(-55, 0);
  });

  it('adds a diesel at the signal-to-noise ratio asked for, the same for the same seed', () => {
    const clip = { at: 1000, samples: burst(0, 500, 0) };
    const noise = { floorDb: -70, dieselSnrDb: 10, seed: 5 };
    const track = mixTrack([clip], 3000, noise);
    const quiet = mixTrack([clip], 3000, { floorDb: -70, seed: 5 });
    const ratio = decibels(quiet.subarray(RATE, RATE * 1.5)) - decibels(track.subarray(RATE * 2, RATE * 3));
    expect(Math.abs(ratio - 10)).toBeLessThan(1);
    expect(mixTrack([clip], 3000, noise)).toEqual(track);
    expect(mixTrack([clip], 3000, { ...noise, seed: 6 })).not.toEqual(track);
  });
});
