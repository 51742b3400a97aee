import { describe, expect, it } from 'vitest';
import { createGapWatch } from '../../../src/hearing/gap-watch.ts';
import { INSECURE, microphoneProblem } from '../../../src/hearing/microphone-problems.ts';
import { createSoundWatch } from '../../../src/hearing/sound-watch.ts';
import { joined, noiseSource, samplesOf, silence } from './signals.ts';

function tone(ms: number, amplitude: number): Float32Array {
  return Float32Array.from(
    { length: samplesOf(ms) },
    (_, n) => amplitude * Math.sin((2 * Math.PI * 1000 * n) / 16_000),
  );
}

describe('watching the sound', () => {
  it('measures levels in dB re full scale: a full-scale sine is -3.01', () => {
    const watch = createSoundWatch();
    watch.push(tone(1000, 1));
    expect(watch.report().level).toBeCloseTo(-3.01, 1);
  });

  it('tells how far speech stands above the noise', () => {
    const random = noiseSource(5);
    const watch = createSoundWatch();
    // Uniform noise of amplitude 0.01 has -44.8 dB; the tone -13.
    const noise = Float32Array.from({ length: samplesOf(6000) }, () => 0.01 * random());
    tone(1000, 0.316).forEach((x, i) => (noise[samplesOf(4000) + i]! += x));
    watch.push(noise);
    expect(Math.abs(watch.report().floor + 44.8)).toBeLessThan(1.5);
    expect(Math.abs(watch.report().snr - 31.8)).toBeLessThan(2);
  });

  it('tells clipping for a second, but not of a single full-scale sample', () => {
    const watch = createSoundWatch();
    watch.push(joined(silence(100), Float32Array.of(1, 0, 1, 0, -1), silence(100)));
    expect(watch.report().clipped).toBe(false);
    watch.push(joined(Float32Array.of(1, 1, 1), silence(100)));
    expect(watch.report().clipped).toBe(true);
    watch.push(silence(1000));
    expect(watch.report().clipped).toBe(false);
  });
});

describe('watching for lost sound', () => {
  /** 20 ms at 48 kHz, in frames. */
  const CHUNK = 960;

  /** What is passed on of chunks that begin at these frames and arrive at these ms: the ms of each gap, and where each sound was taken. */
  function passed(chunks: readonly (readonly [index: number, at: number])[]): (string | number)[] {
    const gaps = createGapWatch(48_000);
    return chunks
      .flatMap(([index, at]) => gaps.next({ samples: new Float32Array(CHUNK).fill(0.5), index }, at))
      .map((each) => (each.type === 'gap' ? `gap ${Math.round(each.ms)}` : Math.round(each.from)));
  }

  it('finds a jump in the frame index', () => {
    const jump = 48_000;
    expect(
      passed([
        [0, 1020],
        [CHUNK, 1040],
        [2 * CHUNK + jump, 2060],
        [3 * CHUNK + jump, 2080],
      ]),
    ).toEqual([1000, 1020, 'gap 1000', 2040, 2060]);
  });

  it('stands silence for a jump too short to lose words in, so that the sample clock stays true', () => {
    const gaps = createGapWatch(48_000);
    gaps.next({ samples: new Float32Array(CHUNK), index: 0 }, 1020);
    const after = gaps.next({ samples: new Float32Array(CHUNK).fill(0.5), index: 2 * CHUNK }, 1060);
    expect(after).toMatchObject([{ type: 'sound' }, { type: 'sound' }]);
    const [silent] = after;
    expect(silent?.type === 'sound' && silent.samples).toEqual(new Float32Array(CHUNK));
  });

  it('finds steady time that ran ahead of the sound, once, and says when the sound after it was taken', () => {
    const later = Array.from({ length: 20 }, (_, n) => [(2 + n) * CHUNK, 6060 + 20 * n] as const);
    const told = passed([[0, 1020], [CHUNK, 1040], ...later]);
    expect(told.slice(0, 4)).toEqual([1000, 1020, 'gap 5000', 6040]);
    expect(told.filter((each) => typeof each === 'string')).toHaveLength(1);
    expect(told).toHaveLength(23);
  });

  it('finds nothing where a busy page takes its chunks late, all at once, however long it was busy', () => {
    const late = Array.from({ length: 150 }, (_, n) => [(1 + n) * CHUNK, 4020] as const);
    const told = passed([[0, 1020], ...late, [151 * CHUNK, 4040]]);
    expect(told).toHaveLength(152);
    // Within the drift that is allowed to a sound card.
    for (const [n, from] of told.entries()) expect(Math.abs(Number(from) - (1000 + 20 * n))).toBeLessThanOrEqual(1);
  });

  it('does not take a slow sound card for lost sound: 100 millionths, for two hours', () => {
    const gaps = createGapWatch(48_000);
    const samples = new Float32Array(48_000);
    const told = Array.from({ length: 7200 }, (_, s) =>
      gaps.next({ samples, index: s * 48_000 }, (s + 1) * 1000.1),
    ).flat();
    expect(told.filter(({ type }) => type === 'gap')).toEqual([]);
  });
});

describe('a microphone that cannot be opened', () => {
  it.each([
    ['NotAllowedError', /may not use the microphone/, /Allow it/],
    ['NotFoundError', /no microphone/, /Plug one in/],
    ['NotReadableError', /does not start/, /Close that program/],
    ['TypeError', /cannot be used \(TypeError\)/, /Try again/],
  ])('is told in plain words for %s, and the check goes on by hand', (name, what, repair) => {
    const problem = microphoneProblem(Object.assign(new Error('raw text of the browser'), { name }));
    expect(problem.what).toMatch(what);
    expect(problem.repair).toMatch(repair);
    expect(problem.repair).toMatch(/by touch and keyboard/);
    expect(problem.what).not.toMatch(/raw text/);
  });

  it('is told apart on a page without secure context', () => {
    expect(INSECURE.repair).toMatch(/https/);
  });
});
