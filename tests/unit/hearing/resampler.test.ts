import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createResampler } from '../../../src/hearing/resampler.ts';

function sine(hz: number, rate: number, count: number): Float32Array {
  return Float32Array.from({ length: count }, (_, n) => Math.sin((2 * Math.PI * hz * n) / rate));
}

function resample(samples: Float32Array, rate: number, pieces: readonly number[] = []): Float32Array {
  const resampler = createResampler(rate);
  const out: number[] = [];
  let at = 0;
  for (const piece of [...pieces, samples.length]) {
    out.push(...resampler.push(samples.slice(at, at + piece)));
    at = Math.min(samples.length, at + piece);
  }
  out.push(...resampler.flush());
  return Float32Array.from(out);
}

function rms(samples: Float32Array): number {
  return Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
}

describe('resampling to 16 kHz', () => {
  for (const rate of [8000, 11_025, 22_050, 44_100, 48_000, 96_000]) {
    it(`gives the closed-form sine at ${rate} Hz, in phase: sample k is the sound at k / 16000 s`, () => {
      for (const hz of [100, 1000, 3400]) {
        const out = resample(sine(hz, rate, rate / 2), rate);
        const truth = sine(hz, 16_000, 8000);
        // The ends lean on silence before and after the tone.
        const error = out.slice(400, 7600).map((x, i) => x - truth[i + 400]!);
        expect(rms(error)).toBeLessThan(0.001);
      }
    });
  }

  it('keeps what is above 8 kHz from folding into speech', () => {
    for (const hz of [9000, 12_000, 20_000])
      expect(rms(resample(sine(hz, 48_000, 24_000), 48_000).slice(400, 7600))).toBeLessThan(0.001);
  });

  it('gives ceil(n x 16000 / rate) samples, and the same ones however the input is cut up', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(8000, 22_050, 44_100, 48_000),
        fc.integer({ min: 1, max: 3000 }),
        fc.array(fc.integer({ min: 0, max: 700 }), { maxLength: 8 }),
        (rate, count, pieces) => {
          const input = sine(440, rate, count);
          const whole = resample(input, rate);
          expect(whole.length).toBe(Math.ceil((count * 16_000) / rate));
          expect(resample(input, rate, pieces)).toEqual(whole);
        },
      ),
      { numRuns: 40 },
    );
  });
});
