import { describe, expect, it } from 'vitest';
import { createSoundWatch } from '../../../src/hearing/sound-watch.ts';
import { dieselIdle, joined, noiseSource, over, rms, samplesOf, silence } from './signals.ts';
import { speak } from './voice.ts';

const RATE = 16_000;
const DIESEL = dieselIdle(samplesOf(9000), 7);
/** What is proposed, with the time at which it begins, in s. */
function heard(sound: Float32Array): (readonly [string, number])[] {
  const watch = createSoundWatch();
  const found: (readonly [string, number])[] = [];
  const step = RATE / 10;
  for (let at = 0; at < sound.length; at += step) {
    watch.push(sound.subarray(at, at + step));
    const now = Math.min(sound.length, at + step);
    for (const { kind, ago } of watch.report().cabSounds ?? []) found.push([kind, now / RATE - ago / 1000]);
  }
  return found;
}

const sine = (ms: number, hz: number): Float32Array =>
  Float32Array.from({ length: samplesOf(ms) }, (_, n) => 0.3 * Math.sin((2 * Math.PI * hz * n) / RATE));
/** An electromechanical buzzer: a square wave, so all odd harmonics. */
const square = (ms: number, hz: number): Float32Array =>
  Float32Array.from({ length: samplesOf(ms) }, (_, n) => (((2 * hz * n) / RATE) % 2 < 1 ? 0.2 : -0.2));
const beeps = (ms: number): Float32Array => sine(ms, 2900).map((x, n) => (n % samplesOf(250) < samplesOf(180) ? x : 0));
/** Air let go: noise that dies away. */
const air = (ms: number): Float32Array => {
  const random = noiseSource(3);
  return Float32Array.from({ length: samplesOf(ms) }, (_, n) => 0.5 * random() * Math.exp((-3 * n) / samplesOf(ms)));
};
/** Two seconds of cab, the sound, two more of cab. */
const inCab = (sound: Float32Array, snr: number): Float32Array => {
  const track = joined(silence(2000), sound, silence(2000));
  return over(track, DIESEL, rms(sound), snr);
};

describe('sounds of the cab', () => {
  it.each([
    ['a tone of 2.9 kHz', sine(3000, 2900)],
    ['a buzzer of 400 Hz with its harmonics', square(3000, 400)],
    ['beeps', beeps(3000)],
  ])('proposes a steady tone once, from where it began: %s over a diesel', (_, sound) => {
    const found = heard(inCab(sound, 6));
    expect(found.map(([kind]) => kind)).toEqual(['steady-tone']);
    expect(Math.abs(found[0]![1] - 2)).toBeLessThan(0.25);
  });

  it.each([
    [400, 15],
    [900, 15],
    [900, 6],
  ])('proposes a burst of air from where it began: %s ms over a diesel %s dB below', (ms, snr) => {
    const found = heard(inCab(air(ms), snr));
    expect(found.map(([kind]) => kind)).toEqual(['air-burst']);
    expect(Math.abs(found[0]![1] - 2)).toBeLessThan(0.15);
  });

  it('proposes it again after it was away', () => {
    const found = heard(joined(silence(1500), sine(2000, 2900), silence(2500), sine(2000, 2900)));
    expect(found.map(([kind, at]) => [kind, Math.round(at)])).toEqual([
      ['steady-tone', 2],
      ['steady-tone', 6],
    ]);
  });

  it('proposes nothing of a diesel, of a door, and of what the operator says', async () => {
    const words = ['primary one two five secondary one two six', 'she sees six pressures, sssh'];
    const door = Float32Array.from({ length: samplesOf(120) }, noiseSource(9)).map((x, n) => x * Math.exp(-n / 400));
    expect(heard(DIESEL)).toEqual([]);
    expect(heard(inCab(door, 10))).toEqual([]);
    for (const voice of ['slt', 'rms'] as const) {
      for (const text of words) {
        const said = await speak(text, voice);
        expect(heard(inCab(said, 15)), `${voice}: ${text}`).toEqual([]);
        expect(heard(joined(silence(1500), said)), `${voice}: ${text}`).toEqual([]);
      }
    }
  }, 600_000);
});
