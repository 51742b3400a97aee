import { describe, expect, it } from 'vitest';
import { decodeAdpcm, encodeAdpcm } from '../../../src/answering/adpcm.ts';

describe('the clips’ compression', () => {
  it('decodes by the published IMA tables', () => {
    // By hand from the IMA recommended practices (1992): step 7, nibble 7 adds 7/8 + 7 + 7/2 + 7/4 in whole numbers = 0 + 7 + 3 + 1
    // and moves the index by 8 to step 16; nibble 0xf then takes 2 + 16 + 8 + 4 = 30 away.
    expect([...decodeAdpcm(Uint8Array.of(0xf7))].map((sample) => sample * 32_768)).toEqual([11, -19]);
  });

  it('keeps a voice-like tone with at least 20 dB between signal and error, at a quarter of 16-bit size', () => {
    const tone = Float32Array.from(
      { length: 16_000 },
      (_, i) => 0.4 * Math.sin(i / 5) * Math.sin(i / 900) + 0.1 * Math.sin(i / 1.9),
    );
    const bytes = encodeAdpcm(tone);
    const back = decodeAdpcm(bytes);
    const power = (of: (i: number) => number): number => tone.reduce((sum, _, i) => sum + of(i) ** 2, 0);
    const ratio = power((i) => tone[i]!) / power((i) => back[i]! - tone[i]!);
    expect(bytes.length).toBe(8000);
    expect(10 * Math.log10(ratio)).toBeGreaterThan(20);
  });
});
