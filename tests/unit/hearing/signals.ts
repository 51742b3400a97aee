import { SAMPLE_RATE } from '../../../src/units/time.ts';

/** Pseudo-random numbers from -1 to 1, the same for the same seed (mulberry32). */
export function noiseSource(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b_79f5) | 0;
    let x = Math.imul(state ^ (state >>> 15), 1 | state);
    x = (x + Math.imul(x ^ (x >>> 7), 61 | x)) ^ x;
    return ((x ^ (x >>> 14)) >>> 0) / 2_147_483_648 - 1;
  };
}

export function samplesOf(ms: number): number {
  return Math.round((ms * SAMPLE_RATE) / 1000);
}

/**
 * A diesel at idle, as heard in a cab: harmonics of the firing frequency of a six-cylinder engine at 700 rpm (35 Hz),
 * falling broadband noise, all beating with the firing. Synthetic: no recording of a cab exists yet.
 */
export function dieselIdle(samples: number, seed: number): Float32Array {
  return diesel(samples, seed, 35);
}

/** The same at any firing frequency, in Hz. */
export function diesel(samples: number, seed: number, hz: number): Float32Array {
  const random = noiseSource(seed);
  const parts = Array.from({ length: 24 }, (_, at) => ({ k: at + 1, weight: (at + 1) ** 0.8 }));
  let phase = 0;
  let rumble = 0;
  let rush = 0;
  return Float32Array.from({ length: samples }, () => {
    phase += (hz + random()) / SAMPLE_RATE;
    let firing = 0;
    for (const { k, weight } of parts) firing += Math.sin(2 * Math.PI * k * phase + k * k) / weight;
    const white = random();
    rumble += 0.08 * (white - rumble);
    rush += 0.4 * (white - rush);
    return 0.25 * firing + (0.7 + 0.3 * Math.sin(2 * Math.PI * phase)) * (1.2 * rumble + 0.35 * rush + 0.06 * white);
  });
}

/** Something like a spoken syllable: a buzz at 120 Hz with formants, rising and falling over its length. */
export function syllable(ms: number, amplitude: number): Float32Array {
  const count = samplesOf(ms);
  return Float32Array.from({ length: count }, (_, n) => {
    const t = n / SAMPLE_RATE;
    let sum = 0;
    for (let k = 1; k <= 30; k += 1) {
      const hz = 120 * k;
      const formant = 1 / (1 + ((hz - 600) / 150) ** 2) + 0.6 / (1 + ((hz - 1500) / 250) ** 2);
      sum += formant * Math.sin(2 * Math.PI * hz * t);
    }
    return amplitude * 0.3 * sum * Math.sin((Math.PI * n) / count) ** 0.5;
  });
}

export function silence(ms: number): Float32Array {
  return new Float32Array(samplesOf(ms));
}

export function joined(...parts: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

export function rms(samples: Float32Array): number {
  return Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / Math.max(1, samples.length));
}

/** `speech` over `noise` of the same length, the noise scaled so that speech of RMS `level` stands `snr` dB above it. */
export function over(speech: Float32Array, noise: Float32Array, level: number, snr: number): Float32Array {
  const gain = level / 10 ** (snr / 20) / rms(noise);
  return speech.map((x, i) => x + gain * (noise[i] ?? 0));
}
