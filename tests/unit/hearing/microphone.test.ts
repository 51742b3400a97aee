import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openMicrophone } from '../../../src/hearing/microphone.ts';
import type { Microphone } from '../../../src/hearing/microphone-port.ts';

/** What the browser gives: a device that can be refused or unplugged, a context that can be paused, a worklet that posts. */
class Track extends EventTarget {
  stopped = false;
  stop(): void {
    this.stopped = true;
  }
}

class Context extends EventTarget {
  state: 'running' | 'suspended' | 'closed' = begins;
  readonly sampleRate = 48_000;
  readonly audioWorklet = { addModule: (): Promise<void> => Promise.resolve() };
  constructor() {
    super();
    contexts.push(this);
  }
  createMediaStreamSource(): { connect: () => void } {
    return { connect: () => undefined };
  }
  become(state: Context['state']): void {
    this.state = state;
    this.dispatchEvent(new Event('statechange'));
  }
  resume(): Promise<void> {
    this.become('running');
    return Promise.resolve();
  }
  close(): Promise<void> {
    this.state = 'closed';
    return Promise.resolve();
  }
}

class Node {
  readonly port: { onmessage?: (message: { data: unknown }) => void } = {};
  constructor() {
    nodes.push(this);
  }
  /** 0.1 s of sound, the `index`-th. */
  give(index: number): void {
    this.port.onmessage?.({ data: { samples: new Float32Array(4800), index: index * 4800 } });
  }
}

let begins: Context['state'] = 'running';
let contexts: Context[] = [];
let nodes: Node[] = [];
let tracks: Track[] = [];
let asked: MediaStreamConstraints[] = [];
let refusal: Error | undefined;
let devices: EventTarget;
let told: string[] = [];
let now = 0;
let microphone: Microphone | undefined;

beforeEach(() => {
  [contexts, nodes, tracks, asked, told, now] = [[], [], [], [], [], 1000];
  begins = 'running';
  refusal = undefined;
  devices = Object.assign(new EventTarget(), {
    getUserMedia: (constraints: MediaStreamConstraints) => {
      asked.push(constraints);
      if (refusal !== undefined) return Promise.reject(refusal);
      const track = new Track();
      tracks.push(track);
      return Promise.resolve({ getTracks: () => [track], getAudioTracks: () => [track] });
    },
  });
  vi.stubGlobal('navigator', { mediaDevices: devices });
  vi.stubGlobal('AudioContext', Context);
  vi.stubGlobal('AudioWorkletNode', Node);
});

afterEach(() => {
  microphone?.stop();
  vi.unstubAllGlobals();
});

async function opened(echoCancellation = false): Promise<Microphone> {
  microphone = openMicrophone(
    { steady: () => now, echoCancellation },
    {
      sound: (samples, rate, from) => told.push(`${String(samples.length)} at ${String(rate)} from ${String(from)}`),
      gap: (ms) => told.push(`gap ${String(ms)}`),
      state: (state) => told.push(state),
      problem: ({ what }) => told.push(what),
    },
  );
  await done();
  return microphone;
}

const done = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** What was told since last asked. */
function news(): string[] {
  return told.splice(0);
}

function named(name: string): Error {
  return Object.assign(new Error(name), { name });
}

describe('a microphone', () => {
  it('is asked for as it is, with no help of the browser but what was chosen', async () => {
    await opened(true);
    expect(asked).toEqual([
      { audio: { channelCount: 1, echoCancellation: true, noiseSuppression: false, autoGainControl: false } },
    ]);
  });

  it('gives its sound with the rate and the steady time at which it was taken', async () => {
    await opened();
    nodes[0]?.give(0);
    now = 1100;
    nodes[0]?.give(1);
    expect(news()).toEqual(['listening', '4800 at 48000 from 900', '4800 at 48000 from 1000']);
  });

  it('tells of sound that the device left out, with its length, before what follows it', async () => {
    await opened();
    nodes[0]?.give(0);
    now = 2100;
    nodes[0]?.give(11);
    expect(news().slice(2)).toEqual(['The microphone left out 1.0 s of sound.', 'gap 1000', '4800 at 48000 from 2000']);
  });

  it('that is unplugged is told of, let go, and taken up again when one is plugged in', async () => {
    await opened();
    tracks[0]?.dispatchEvent(new Event('ended'));
    expect(news()).toEqual(['listening', 'waiting', 'The microphone was unplugged.']);
    expect(tracks[0]?.stopped).toBe(true);
    expect(contexts[0]?.state).toBe('closed');
    // What the old device still says is nothing.
    nodes[0]?.give(0);
    tracks[0]?.dispatchEvent(new Event('ended'));
    expect(news()).toEqual([]);
    devices.dispatchEvent(new Event('devicechange'));
    await done();
    expect(news()).toEqual(['listening']);
    nodes[1]?.give(0);
    expect(news()).toHaveLength(1);
  });

  it('is opened once, though devices come and go while it is there or being opened', async () => {
    const opening = opened();
    devices.dispatchEvent(new Event('devicechange'));
    await opening;
    devices.dispatchEvent(new Event('devicechange'));
    await done();
    expect(asked).toHaveLength(1);
  });

  it.each([
    ['NotAllowedError', 'The browser may not use the microphone.'],
    ['NotFoundError', 'There is no microphone.'],
    ['NotReadableError', 'The microphone does not start; another program may be using it.'],
  ])('that is refused by a %s says so, and is asked for again when told to', async (name, what) => {
    refusal = named(name);
    const device = await opened();
    expect(news()).toEqual(['waiting', what]);
    refusal = undefined;
    await device.retry();
    expect(news()).toEqual(['listening']);
  });

  it('whose sound the browser has paused says so, and wakes by a touch', async () => {
    const device = await opened();
    news();
    contexts[0]?.become('suspended');
    expect(news()).toEqual(['waiting', 'The browser has paused the sound.']);
    await device.retry();
    expect(news()).toEqual(['listening']);
    expect(asked).toHaveLength(1);
  });

  it('that begins paused is woken where the browser lets it', async () => {
    begins = 'suspended';
    await opened();
    expect(news()).toEqual(['waiting', 'The browser has paused the sound.', 'listening']);
  });

  it('that was stopped is let go, and nothing is told of it any more', async () => {
    const device = await opened();
    news();
    device.stop();
    expect(tracks[0]?.stopped).toBe(true);
    expect(contexts[0]?.state).toBe('closed');
    nodes[0]?.give(0);
    devices.dispatchEvent(new Event('devicechange'));
    await done();
    expect(news()).toEqual([]);
    expect(asked).toHaveLength(1);
  });

  it('that comes only after it was stopped is not kept open', async () => {
    const opening = opened();
    microphone?.stop();
    await opening;
    expect(tracks[0]?.stopped).toBe(true);
    expect(contexts[0]?.state).toBe('closed');
    expect(news()).toEqual([]);
  });

  it('on a page that is not secure is no exception but a problem with its repair', async () => {
    vi.stubGlobal('navigator', {});
    const device = await opened();
    expect(news()).toEqual(['waiting', 'The browser gives a microphone only to secure pages.']);
    await device.retry();
    device.stop();
  });
});
