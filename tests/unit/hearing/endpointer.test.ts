import { describe, expect, it } from 'vitest';
import { createEndpointer, type EndpointerOptions, type EndpointEvent } from '../../../src/hearing/endpointer.ts';
import { samplesToMs } from '../../../src/units/time.ts';
import { dieselIdle, joined, noiseSource, over, rms, samplesOf, silence, syllable } from './signals.ts';

interface Told {
  readonly event: EndpointEvent;
  /** Ms of sound that had been taken when it was told. */
  readonly at: number;
}

function run(sound: Float32Array, options: EndpointerOptions = {}): Told[] {
  const endpointer = createEndpointer(options);
  const told: Told[] = [];
  for (let from = 0; from + 160 <= sound.length; from += 160) {
    for (const event of endpointer.next(sound.subarray(from, from + 160)))
      told.push({ event, at: samplesToMs(from + 160) });
  }
  for (const event of endpointer.flush()) told.push({ event, at: samplesToMs(sound.length) });
  return told;
}

function utterances(
  sound: Float32Array,
  options: EndpointerOptions = {},
): { start: number; end: number; told: number }[] {
  return run(sound, options).flatMap(({ event, at }) =>
    event.type === 'ended'
      ? [{ start: samplesToMs(event.utterance.start), end: samplesToMs(event.utterance.end), told: at }]
      : [],
  );
}

/** Five syllables with gaps as between spoken digits, 1.5 s in all, from 1000 ms on. */
const PHRASE = joined(...Array.from({ length: 5 }, () => joined(syllable(220, 0.3), silence(100)))).slice(
  0,
  samplesOf(1500),
);
const SPOKEN = joined(silence(1000), PHRASE, silence(1500));

describe('cutting sound into utterances', () => {
  it('finds one utterance in clean silence, with 250 ms before and 200 ms after the sound', () => {
    const [only, ...more] = utterances(SPOKEN);
    expect(more).toEqual([]);
    expect(only?.start).toBeGreaterThan(720);
    expect(only?.start).toBeLessThanOrEqual(780);
    expect(only?.end).toBeGreaterThan(2550);
    expect(only?.end).toBeLessThanOrEqual(2720);
  });

  it('tells the end 400 ms after the sound, or after the silence that was asked for', () => {
    expect(Math.abs(utterances(SPOKEN)[0]!.told - (2500 + 400))).toBeLessThan(50);
    expect(Math.abs(utterances(SPOKEN, { endSilenceMs: 700 })[0]!.told - (2500 + 700))).toBeLessThan(50);
  });

  it('offers the same utterance early, so that decoding can begin before the end is certain', () => {
    const told = run(SPOKEN);
    const paused = told.find(({ event }) => event.type === 'paused');
    const ended = told.find(({ event }) => event.type === 'ended');
    expect(paused?.event).toMatchObject({ utterance: (ended?.event as { utterance: unknown }).utterance });
    expect((ended?.at ?? 0) - (paused?.at ?? 0)).toBe(200);
  });

  it('keeps words apart by 300 ms together and parts those apart by a second', () => {
    const pair = (gap: number): Float32Array => joined(silence(800), PHRASE, silence(gap), PHRASE, silence(1000));
    expect(utterances(pair(300)).length).toBe(1);
    expect(utterances(pair(1000)).length).toBe(2);
  });

  it('hears the same edges in diesel idle at 10 dB', () => {
    const sound = joined(silence(3000), PHRASE, silence(2000));
    const found = utterances(over(sound, dieselIdle(sound.length, 1), rms(PHRASE), 10)).filter(
      ({ start }) => start > 1000,
    );
    expect(found.length).toBe(1);
    expect(Math.abs((found[0]?.start ?? 0) - 2750)).toBeLessThan(120);
    expect(Math.abs((found[0]?.end ?? 0) - 4600)).toBeLessThan(120);
  });

  it('takes an engine that starts for speech no longer than 3 s, and then hears speech over it', () => {
    const idle = dieselIdle(samplesOf(12_000), 2);
    const idleLevel = rms(idle);
    const sound = joined(
      silence(2000),
      idle.map((x) => (x * 0.1) / idleLevel),
    );
    const phraseLevel = rms(PHRASE);
    const speech = PHRASE.map((x) => (x * 0.32) / phraseLevel);
    speech.forEach((x, i) => (sound[samplesOf(9000) + i]! += x));
    const found = utterances(sound);
    expect(found.every(({ start, end }) => end - start < 3500)).toBe(true);
    expect(found.some(({ start, end }) => start > 8550 && start < 8950 && end > 10_400 && end < 10_900)).toBe(true);
  });

  it('hears nothing in steady noise, however loud, once it knows it', () => {
    const random = noiseSource(3);
    for (const level of [0.003, 0.03, 0.3]) {
      const hiss = Float32Array.from({ length: samplesOf(20_000) }, () => level * random());
      expect(utterances(hiss).filter(({ start }) => start > 3000)).toEqual([]);
    }
  });

  it('passes over clicks shorter than a syllable', () => {
    expect(utterances(joined(silence(1000), syllable(30, 0.8), silence(1000)))).toEqual([]);
  });

  it('cuts speech without end at the longest utterance, and loses none of it', () => {
    const endless = joined(silence(500), ...Array.from({ length: 60 }, () => joined(syllable(220, 0.3), silence(100))));
    const found = utterances(endless, { maxUtteranceMs: 5000 });
    expect(Math.max(...found.map(({ start, end }) => end - start))).toBeLessThanOrEqual(5000);
    for (const [i, each] of found.slice(1).entries()) expect(each.start - found[i]!.end).toBeLessThan(120);
  });

  it('hears a recording that begins and ends in the middle of speech', () => {
    const [only, ...more] = utterances(PHRASE);
    expect(more).toEqual([]);
    expect(only?.start).toBe(0);
    expect(only?.end).toBeGreaterThan(1350);
  });
});
