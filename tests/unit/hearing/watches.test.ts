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
  it('finds a jump in the frame index', () => {
    const gaps = createGapWatch(48_000);
    expect(gaps.next(0, 960, 1020)).toBe(0);
    expect(gaps.next(960, 960, 1040)).toBe(0);
    expect(gaps.next(2880, 960, 1080)).toBe(960);
    expect(gaps.next(3840, 960, 1100)).toBe(0);
  });

  it('finds wall time that ran ahead of the sound, once, but not a chunk that came late', () => {
    const gaps = createGapWatch(48_000);
    expect(gaps.next(0, 960, 1020)).toBe(0);
    expect(gaps.next(960, 960, 1200)).toBe(0);
    expect(gaps.next(1920, 960, 1201)).toBe(0);
    expect(gaps.next(2880, 960, 6080)).toBe(240_000);
    expect(gaps.next(3840, 960, 6100)).toBe(0);
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
