/**
 * IMA ADPCM: 4 bits a sample, so that a minute of speech at 16 kHz takes 0.48 MB. The step and index tables and the
 * arithmetic are those of the IMA Digital Audio Focus and Technical Working Groups' recommended practices (1992), without
 * block headers: a clip starts at predictor 0, step index 0, low nibble first.
 */
const INDEX_CHANGE = [-1, -1, -1, -1, 2, 4, 6, 8] as const;
const LAST_INDEX = 88;
// prettier-ignore
const STEPS = [
  7, 8, 9, 10, 11, 12, 13, 14, 16, 17, 19, 21, 23, 25, 28, 31, 34, 37, 41, 45, 50, 55, 60, 66, 73, 80, 88, 97, 107, 118, 130, 143, 157,
  173, 190, 209, 230, 253, 279, 307, 337, 371, 408, 449, 494, 544, 598, 658, 724, 796, 876, 963, 1060, 1166, 1282, 1411, 1552, 1707, 1878,
  2066, 2272, 2499, 2749, 3024, 3327, 3660, 4026, 4428, 4871, 5358, 5894, 6484, 7132, 7845, 8630, 9493, 10442, 11487, 12635, 13899, 15289,
  16818, 18500, 20350, 22385, 24623, 27086, 29794, 32767,
] as const;

/** The decoder's state after each nibble; the encoder follows it so that errors never add up. */
class Predictor {
  private value = 0;
  private index = 0;

  /** The nibble that brings the prediction nearest to a 16-bit sample. */
  nearest(sample: number): number {
    const step = STEPS[this.index] ?? 7;
    const difference = sample - this.value;
    const magnitude = Math.min(7, Math.floor((Math.abs(difference) * 4) / step));
    return difference < 0 ? magnitude | 8 : magnitude;
  }

  apply(nibble: number): number {
    const step = STEPS[this.index] ?? 7;
    let change = step >> 3;
    if (nibble & 4) change += step;
    if (nibble & 2) change += step >> 1;
    if (nibble & 1) change += step >> 2;
    this.value = Math.max(-32_768, Math.min(32_767, this.value + (nibble & 8 ? -change : change)));
    this.index = Math.max(0, Math.min(LAST_INDEX, this.index + (INDEX_CHANGE[nibble & 7] ?? 0)));
    return this.value;
  }
}

/** Samples of +-1 to bytes, two samples each; an odd last sample is padded. */
export function encodeAdpcm(samples: Float32Array): Uint8Array {
  const predictor = new Predictor();
  const bytes = new Uint8Array(Math.ceil(samples.length / 2));
  samples.forEach((sample, i) => {
    const nibble = predictor.nearest(Math.round(Math.max(-1, Math.min(1, sample)) * 32_767));
    predictor.apply(nibble);
    bytes[i >> 1] = (bytes[i >> 1] ?? 0) | (i % 2 === 0 ? nibble : nibble << 4);
  });
  return bytes;
}

/** The samples of one clip, +-1; the length is twice that of `bytes`. */
export function decodeAdpcm(bytes: Uint8Array): Float32Array {
  const predictor = new Predictor();
  const samples = new Float32Array(bytes.length * 2);
  bytes.forEach((byte, i) => {
    samples[i * 2] = predictor.apply(byte & 15) / 32_768;
    samples[i * 2 + 1] = predictor.apply(byte >> 4) / 32_768;
  });
  return samples;
}
