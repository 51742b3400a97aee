import { afterEach, expect, it } from 'vitest';
import type { Microphone } from '../../src/hearing/microphone-port.ts';
import { openMicrophone } from '../../src/hearing/microphone.ts';
import { until } from './support/parts.ts';

const contexts: AudioContext[] = [];
let microphone: Microphone | undefined;

afterEach(async () => {
  microphone?.stop();
  for (const context of contexts.splice(0)) await context.close();
  Reflect.deleteProperty(navigator, 'mediaDevices');
});

/** A device that hums; `pull` unplugs it, `mute` has the system mute it, or unmute it. */
function humming(): { pull: () => void; mute: (muted: boolean) => void } {
  const devices = new EventTarget();
  const tracks: MediaStreamTrack[] = [];
  const getUserMedia = (): Promise<MediaStream> => {
    const context = new AudioContext();
    contexts.push(context);
    const hum = new OscillatorNode(context, { frequency: 440 });
    const device = context.createMediaStreamDestination();
    hum.connect(device);
    hum.start();
    tracks.push(...device.stream.getTracks());
    return Promise.resolve(device.stream);
  };
  Object.defineProperty(navigator, 'mediaDevices', {
    configurable: true,
    value: Object.assign(devices, { getUserMedia }),
  });
  return {
    mute: (muted) => {
      for (const track of tracks) {
        Object.defineProperty(track, 'muted', { configurable: true, value: muted });
        track.dispatchEvent(new Event(muted ? 'mute' : 'unmute'));
      }
    },
    pull: () => {
      for (const track of tracks.splice(0)) track.dispatchEvent(new Event('ended'));
    },
  };
}

it('gives the sound of a device with the steady time at which it was taken, and takes up another when one is plugged in', async () => {
  const device = humming();
  const states: string[] = [];
  const sounds: number[] = [];
  const problems: string[] = [];
  const lost: string[] = [];
  let gaps = 0;
  let loudest = 0;
  const began = performance.now();
  microphone = openMicrophone(
    { steady: () => performance.now(), echoCancellation: false, device: 'at home', gain: '6' },
    {
      sound: (samples, _rate, from) => {
        sounds.push(from);
        loudest = samples.reduce((most, sample) => Math.max(most, sample), loudest);
      },
      gap: () => (gaps += 1),
      state: (state) => states.push(state),
      // A machine that has other work may leave out sound of the page's own device, which is told as it should be.
      problem: ({ what }) => (what.includes('left out') ? lost : problems).push(what),
    },
  );
  await until(() => sounds.length >= 20, 'sound');
  expect(states.at(-1)).toBe('listening');
  expect(sounds[0]).toBeGreaterThan(began);
  expect(sounds.at(-1)).toBeLessThan(performance.now());
  // 6 dB more than the 1 of an oscillator.
  expect(loudest).toBeCloseTo(10 ** (6 / 20), 1);
  expect(problems).toEqual([expect.stringContaining('The microphone that was chosen is not there')]);
  expect(lost).toHaveLength(gaps);

  device.pull();
  expect(states.at(-1)).toBe('waiting');
  expect(problems.at(-1)).toBe('The microphone was unplugged.');
  const before = sounds.length;
  navigator.mediaDevices.dispatchEvent(new Event('devicechange'));
  await until(() => sounds.length > before, 'sound again');
  expect(states.at(-1)).toBe('listening');
});

it('gives no sound while the system has muted the device, says so, and tells what was lost', async () => {
  const device = humming();
  const told: string[] = [];
  let sounds = 0;
  microphone = openMicrophone(
    { steady: () => performance.now(), echoCancellation: false },
    {
      sound: () => (sounds += 1),
      gap: () => told.push('gap'),
      state: (state) => told.push(state),
      problem: ({ what }) => told.push(what),
    },
  );
  await until(() => sounds >= 20, 'sound');
  device.mute(true);
  expect(told.slice(-2)).toEqual(['waiting', 'The microphone is muted.']);
  const before = sounds;
  const [context] = contexts;
  const since = context?.currentTime ?? 0;
  await until(() => (context?.currentTime ?? 0) > since + 0.5, 'half a second');
  expect(sounds).toBe(before);
  device.mute(false);
  await until(() => sounds > before, 'sound again');
  expect(told.slice(told.lastIndexOf('listening'))).toContain('gap');
});
