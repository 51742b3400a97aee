import { describe, expect, it } from 'vitest';
import type { Hearing, HearingEvents } from '../../../src/hearing/hearing.ts';
import type { MicrophoneEvents } from '../../../src/hearing/microphone-port.ts';
import { microphoneEar } from '../../../src/running/microphone-ear.ts';
import { noiseSource } from '../hearing/signals.ts';

const QUIET = { level: -50, floor: -50, snr: 0, clipped: false };

function bench(
  pushToTalk = false,
  names: readonly string[] = ['the test ear'],
  steady: () => number = () => 0,
  headset = false,
) {
  const told: (readonly [state: string, line: string, lost: string | undefined])[] = [];
  const fed: number[] = [];
  const restarted: string[] = [];
  const listened: [engine: string, rules: string][] = [];
  let hearing: HearingEvents | undefined;
  let microphone: MicrophoneEvents | undefined;
  const engines: string[] = [];
  let settle: (heard: boolean) => void = () => undefined;
  const ear = microphoneEar({
    steady,
    pushToTalk: () => pushToTalk,
    headset: () => headset,
    microphone: (events) => {
      microphone = events;
      return { retry: () => Promise.resolve(), stop: () => undefined };
    },
    engines: () =>
      Promise.resolve(
        names.map((name, index) => ({
          id: index === 0 ? 'vosk' : 'embedded',
          name,
          hearing: (events) => {
            hearing = events;
            engines.push(name);
            return {
              ready: new Promise((resolve) => (settle = resolve)),
              listenFor: (rules) => listened.push([name, rules.id]),
              feed: (samples) => {
                fed.push(samples[0] ?? 0);
                return Promise.resolve();
              },
              flush: () => Promise.resolve(),
              close: () => Promise.resolve(),
            };
          },
        })),
      ),
  });
  const open = async (): Promise<void> => {
    await ear.open({
      heard: () => Promise.resolve(),
      progress: () => Promise.resolve(),
      level: () => undefined,
      state: (state, line, lost) => told.push([state, line, lost]),
      restarted: (engine) => restarted.push(engine),
      end: () => undefined,
    });
    microphone!.state('listening');
    await ready();
  };
  const ready = async (): Promise<void> => {
    settle(true);
    await Promise.resolve();
    await Promise.resolve();
  };
  return {
    ear,
    told,
    fed,
    engines,
    restarted,
    listened,
    ready,
    open,
    hearing: () => hearing!,
    microphone: () => microphone!,
  };
}

describe('the microphone and its recogniser as one ear', () => {
  it('says that it listens once both the device and the recogniser are there', async () => {
    const { open, told } = bench();
    await open();
    expect(told.at(-1)).toEqual(['listening', 'Heard by the test ear.', undefined]);
  });

  it('tells once that the microphone was lost, with the advice, and comes back by itself', async () => {
    const { open, told, microphone } = bench();
    await open();
    microphone().state('waiting');
    microphone().problem({ what: 'The microphone was unplugged.', repair: 'Plug one in.' });
    expect(told.filter(([, , lost]) => lost === 'microphone-lost')).toHaveLength(1);
    expect(told.at(-1)).toEqual(['unavailable', 'The microphone was unplugged. Plug one in.', undefined]);
    microphone().state('listening');
    expect(told.at(-1)?.[0]).toBe('listening');
  });

  it('keeps the line of a missing microphone when the recogniser becomes ready after it', async () => {
    const { ear, told, microphone, open } = bench();
    await open();
    microphone().state('waiting');
    microphone().problem({ what: 'There is no microphone.' });
    ear.listenFor({ id: 'x', rules: [], jsgf: '', words: [], phrases: [] });
    expect(told.at(-1)).toEqual(['unavailable', 'There is no microphone.', undefined]);
  });

  it('tells that hearing is lost when the recogniser has stopped for good', async () => {
    const { open, told, hearing } = bench();
    await open();
    hearing().problem({ what: 'Hearing keeps stopping.' });
    hearing().stopped?.();
    expect(told.at(-1)).toEqual(['unavailable', 'Hearing keeps stopping.', 'engine-lost']);
  });

  it('goes on with the next recogniser when the first has stopped for good, and says which one hears', async () => {
    const { ear, open, told, hearing, engines, listened, ready } = bench(false, ['the Vosk ear', 'the embedded ear']);
    await open();
    ear.listenFor({ id: 'cues', rules: [], jsgf: '', words: [], phrases: [] });
    const lost = hearing();
    lost.problem({ what: 'Hearing keeps stopping.', repair: 'The check goes on by touch and keyboard.' });
    lost.stopped?.();
    const line =
      'Hearing keeps stopping. Now the embedded ear takes over from the Vosk ear. Say again what was not read back.';
    expect(told.at(-1)).toEqual(['starting', line, 'engine-lost']);
    await ready();
    expect(told.at(-1)).toEqual(['listening', line, undefined]);
    expect(engines).toEqual(['the Vosk ear', 'the embedded ear']);
    expect(listened.at(-1)).toEqual(['the embedded ear', 'cues']);
    hearing().problem({ what: 'Hearing keeps stopping.' });
    hearing().stopped?.();
    expect(told.at(-1)).toEqual(['unavailable', 'Hearing keeps stopping.', 'engine-lost']);
  });

  it('does not call the check interrupted when the first recogniser could not even begin', async () => {
    const { open, told, hearing, engines } = bench(false, ['the Vosk ear', 'the embedded ear']);
    const opened = open();
    await Promise.resolve();
    hearing().problem({ what: 'The stored model is damaged.' });
    hearing().stopped?.();
    await opened;
    expect(engines).toHaveLength(2);
    expect(told.filter(([, , lost]) => lost !== undefined)).toEqual([]);
    expect(told.at(-1)?.[1]).toBe(
      'The stored model is damaged. Now the embedded ear takes over from the Vosk ear. Say again what was not read back.',
    );
  });

  it('passes on that the recogniser was replaced, without calling the sound lost', async () => {
    const { open, told, hearing, restarted } = bench();
    await open();
    hearing().restarted?.();
    expect(restarted).toEqual(['vosk']);
    expect(told.filter(([, , lost]) => lost !== undefined)).toEqual([]);
  });

  it('hears only what is said while the pad is held, and keeps the clock going', async () => {
    const { ear, fed, open, microphone } = bench(true);
    await open();
    const sound = new Float32Array([0.5]);
    microphone().sound(sound, 16_000, 0);
    ear.talk(true);
    microphone().sound(sound, 16_000, 0);
    expect(fed).toEqual([0, 0.5]);
  });

  it('takes up a changed listening mode while it runs', async () => {
    let pushToTalk = false;
    const told: string[] = [];
    let events: HearingEvents | undefined;
    let device: MicrophoneEvents | undefined;
    const begin = (to: HearingEvents): Hearing => {
      events = to;
      const done = (): Promise<void> => Promise.resolve();
      return { ready: Promise.resolve(true), listenFor: () => undefined, feed: done, flush: done, close: done };
    };
    const ear = microphoneEar({
      steady: () => 0,
      pushToTalk: () => pushToTalk,
      microphone: (to) => {
        device = to;
        return { retry: () => Promise.resolve(), stop: () => undefined };
      },
      engines: () => Promise.resolve([{ id: 'embedded', name: 'the test ear', hearing: begin }]),
    });
    await ear.open({
      heard: () => Promise.resolve(),
      progress: () => Promise.resolve(),
      level: () => undefined,
      state: (state) => told.push(state),
      end: () => undefined,
    });
    device?.state('listening');
    await Promise.resolve();
    await events?.clock(100, QUIET);
    expect(told.at(-1)).toBe('listening');
    pushToTalk = true;
    await events?.clock(200, QUIET);
    expect(told.at(-1)).toBe('waiting');
  });

  it('says in one line that the device gives its sound at another rate, and whether it hears less well so', async () => {
    const { open, microphone, told } = bench();
    await open();
    const rates = [48_000, 48_000, 44_100, 8_000];
    const before = told.length;
    for (const rate of rates) microphone().sound(new Float32Array(rate / 100), rate, 0);
    const lines = told.slice(before).map(([state, line]) => `${state}: ${line}`);
    expect(lines).toEqual([
      'listening: The microphone now gives its sound at 44.1 kHz; hearing goes on.',
      'listening: The microphone now gives its sound at 8 kHz; hearing goes on. It hears less well so: use another microphone.',
    ]);
  });

  it('says so from the first sound of a device that gives too little, and hears it all the same', async () => {
    const { open, microphone, told, fed } = bench();
    await open();
    microphone().sound(new Float32Array(800), 8_000, 0);
    expect(told.at(-1)?.[1]).toBe(
      'The microphone gives its sound at 8 kHz; hearing goes on. It hears less well so: use another microphone.',
    );
    expect(fed.length).toBeGreaterThan(0);
  });

  it('says that the device cuts off its sound, but not for a burst, and hears it all the same', async () => {
    const { open, microphone, told, fed } = bench();
    await open();
    const give = (ms: number, amplitude: number): void => {
      for (let at = 0; at < ms; at += 20) {
        const samples = Float32Array.from({ length: 320 }, (_, n) => amplitude * Math.sin(n / 5));
        microphone().sound(
          samples.map((sample) => Math.max(-1, Math.min(1, sample))),
          16_000,
          at,
        );
      }
    };
    give(900, 0.3);
    give(300, 4);
    give(3000, 0.3);
    expect(told.at(-1)?.[1]).toBe('Heard by the test ear.');
    const before = fed.length;
    give(4000, 4);
    expect(told.at(-1)?.slice(0, 2)).toEqual([
      'listening',
      'The microphone is too loud: its sound is cut off. Hold it farther away, or choose less gain at the sound check. Hearing goes on.',
    ]);
    expect(fed.length).toBeGreaterThan(before);
  });

  it('says in one line that its own voice comes back late, as by Bluetooth, and none where it comes at once', async () => {
    for (const [late, stoodStill, line] of [
      [300, 0, /^The tool is heard 0\.3 s after it speaks, as by Bluetooth.* hearing goes on/],
      // Sound and steady clock are apart by that much from then on.
      [300, 150, /^The tool is heard 0\.3 s after it speaks/],
      [60, 150, /^Heard by the test ear/],
    ] as const) {
      let now = 0;
      const { ear, open, microphone, told, fed } = bench(false, ['the test ear'], () => now);
      await open();
      const [rate, random] = [16_000, noiseSource(7)];
      const take = (sound: Float32Array): void => {
        for (let from = 0; from < sound.length; from += 320) {
          now += 20;
          microphone().sound(sound.subarray(from, from + 320), rate, now - 20);
        }
      };
      const hiss = (seconds: number): Float32Array =>
        Float32Array.from({ length: seconds * rate }, () => 0.0005 * random());
      take(hiss(0.2));
      now += stoodStill;
      take(hiss(2.2));
      const samples = Float32Array.from({ length: 0.9 * rate }, () => 0.1 * random());
      const air = hiss(2);
      samples.forEach((sample, n) => (air[(rate * late) / 1000 + n] = sample / 2));
      ear.ownVoice?.({ phrases: ['an answer'], sound: { samples, rate }, inMs: 0 });
      take(air);
      expect(told.at(-1)?.[0]).toBe('listening');
      expect(told.at(-1)?.[1]).toMatch(line);
      expect(fed.length).toBeGreaterThan(10);
    }
  });

  it('says that it hears itself where its answers were to go to a headset, and lets no words of that count as the operator’s', async () => {
    let now = 0;
    const { ear, open, microphone, told } = bench(false, ['the test ear'], () => now, true);
    await open();
    const [rate, random] = [16_000, noiseSource(7)];
    const samples = Float32Array.from({ length: 0.9 * rate }, () => 0.1 * random());
    const air = Float32Array.from({ length: 2 * rate }, () => 0.0005 * random());
    samples.forEach((sample, n) => (air[0.3 * rate + n] = sample / 2));
    ear.ownVoice?.({ phrases: ['an answer'], sound: { samples, rate }, inMs: 0 });
    for (let from = 0; from < air.length; from += 320) {
      now += 20;
      microphone().sound(air.subarray(from, from + 320), rate, now - 20);
    }
    expect(ear.whose?.(300, 1_200, air.subarray(0.2 * rate, 1.3 * rate))?.unknown).toBeGreaterThan(0.9);
    expect(told.at(-1)?.[1]).toMatch(/^The tool hears itself, though .* headset\. Switch that setting off/);
  });

  it('goes on when the device changes its rate, without losing a sample or the time of one', async () => {
    const lengths: number[] = [];
    const progress: number[] = [];
    let device: MicrophoneEvents | undefined;
    let to: HearingEvents | undefined;
    const done = (): Promise<void> => Promise.resolve();
    const ear = microphoneEar({
      steady: () => 0,
      pushToTalk: () => false,
      microphone: (events) => {
        device = events;
        return { retry: () => Promise.resolve(), stop: () => undefined };
      },
      engines: () =>
        Promise.resolve([
          {
            id: 'vosk',
            name: 'the test ear',
            hearing: (events) => {
              to = events;
              const feed = (samples: Float32Array, rate: number): Promise<void> => {
                expect(rate).toBe(16_000);
                lengths.push(samples.length);
                return done();
              };
              return { ready: Promise.resolve(true), listenFor: () => undefined, feed, flush: done, close: done };
            },
          },
        ]),
    });
    await ear.open({
      heard: () => Promise.resolve(),
      progress: (at) => Promise.resolve(void progress.push(at)),
      level: () => undefined,
      state: () => undefined,
      end: () => undefined,
    });
    device?.state('listening');
    for (const rate of [48_000, 44_100, 8_000]) device?.sound(new Float32Array(rate), rate, 0);
    device?.sound(new Float32Array(16_000), 16_000, 0);
    expect(lengths.reduce((sum, length) => sum + length, 0)).toBe(4 * 16_000);
    await to?.clock(100, QUIET);
    expect(progress).toEqual([100]);
  });
});
