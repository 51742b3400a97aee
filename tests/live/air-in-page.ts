import type { CheckEvent } from '../../src/check/event.ts';
import type { Ms } from '../../src/units/time.ts';

/** Sound for the page: 16-bit samples, mono, in base64. */
export interface Pcm {
  readonly data: string;
  /** Hz. */
  readonly rate: number;
}

/** The clock that the microphone is told begins anew after so long. */
export const LAP: Ms = 8_000;

interface AirOptions {
  readonly lap: Ms;
  /** Address of the module that `tapsInWorklet` is. */
  readonly taps: string;
  /** From the loudspeaker to the microphone. */
  readonly delay: Ms;
  /** Of the loudspeaker's sound at the microphone. */
  readonly gain: number;
}

/** What happened since it was asked last. All times are ms of the air's clock, the sample clock of loudspeaker and operator. */
export interface AirNews {
  /** Undefined while nothing has sounded and no microphone was opened. */
  readonly now: Ms | undefined;
  /** The tool was silent and sounds from this sample on, or fell silent after it. */
  readonly sounds: readonly { readonly at: Ms; readonly begins: boolean }[];
  /** Sounds of so many samples that the tool gave to the loudspeaker. */
  readonly given: readonly { readonly at: Ms; readonly samples: number }[];
  /** Events that the record was given to keep. */
  readonly kept: readonly { readonly at: Ms; readonly event: CheckEvent }[];
  /**
   * What the microphone's sound told of its way, each modulo `LAP`: its clock minus that of the air, which changes where sound is lost or put in;
   * and how long ago the sound that arrived was in the air, or a little less.
   */
  readonly lags: readonly { readonly at: Ms; readonly slip: Ms; readonly late: Ms }[];
}

/** What the test calls in the page. */
export interface CabAir {
  noise(sound: Pcm): void;
  /** Somebody speaks: gives the moment of the first sample. */
  say(sound: Pcm, gain: number): Ms;
  news(): AirNews;
}

/**
 * Runs in the page before the app: the cab's air in place of a microphone, as sound of the page. In it are the operator, the noise of the cab
 * and, later and softer, all that the app plays to its loudspeaker. Operator and loudspeaker have one clock, since the loudspeaker's context is
 * the air's own. The second channel, which the app does not hear, tells the microphone the time of the air.
 */
export function airInPage({ lap, taps, delay, gain }: AirOptions): void {
  interface Air {
    readonly context: AudioContext;
    readonly tool: AudioNode;
    /** From the loudspeaker to the microphone. */
    readonly way: DelayNode;
    readonly cab: AudioNode;
  }
  type Writable<T> = { -readonly [Name in keyof T]: T[Name] };
  /** A sound that is begun so many seconds from now begins at its time. */
  const SOON = 0.06;
  const Given = AudioContext;
  const mine = new WeakSet<object>();
  let air: Air | undefined;
  let noise: Pcm | undefined;
  /** When the clock begins, in s of the air. */
  let clockFrom = 0;
  /** `performance.now()` at the air's moment 0, by the promptest look so far. */
  let origin = Infinity;
  const fresh = () => ({
    sounds: [] as Writable<AirNews['sounds'][number]>[],
    given: [] as Writable<AirNews['given'][number]>[],
    kept: [] as Writable<AirNews['kept'][number]>[],
    lags: [] as Writable<AirNews['lags'][number]>[],
  });
  let news = fresh();

  const bufferOf = (context: AudioContext, { data, rate }: Pcm): AudioBuffer => {
    const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
    const samples = Float32Array.from(new Int16Array(bytes.buffer), (value) => value / 32_768);
    const buffer = context.createBuffer(1, samples.length, rate);
    buffer.copyToChannel(samples, 0);
    return buffer;
  };

  const tapped = async (context: AudioContext, name: string, source: AudioNode, hear: (data: never) => void) => {
    await context.audioWorklet.addModule(taps);
    const tap = new AudioWorkletNode(context, name, { numberOfOutputs: 0 });
    tap.port.onmessage = ({ data }: MessageEvent<unknown>) => hear(data as never);
    source.connect(tap);
  };

  const breathe = (): Air => {
    if (air !== undefined) return air;
    const context = new Given();
    const [tool, cab] = [new GainNode(context), new GainNode(context)];
    const way = new DelayNode(context, { maxDelayTime: 1 });
    tool.connect(way).connect(new GainNode(context, { gain })).connect(cab);
    if (noise !== undefined) {
      const idle = new AudioBufferSourceNode(context, { buffer: bufferOf(context, noise), loop: true });
      mine.add(idle);
      idle.connect(cab);
      idle.start();
    }
    void tapped(context, 'sounds', tool, (edge: AirNews['sounds'][number]) => news.sounds.push(edge));
    air = { context, tool, way, cab };
    return air;
  };

  const within = (ms: Ms): Ms => ((ms % lap) + lap) % lap;

  /** From 0 to 1, which nothing clips, sample by sample, and again; started once it is connected, or it would begin late. */
  const clockInto = (context: AudioContext, to: AudioNode): void => {
    const count = (lap / 1000) * context.sampleRate;
    const hands = context.createBuffer(1, count, context.sampleRate);
    hands.copyToChannel(
      Float32Array.from({ length: count }, (_, index) => (index + 1) / count),
      0,
    );
    const clock = new AudioBufferSourceNode(context, { buffer: hands, loop: true });
    mine.add(clock);
    clock.connect(to, 0, 1);
    clockFrom = context.currentTime + SOON;
    clock.start(clockFrom);
  };

  /** Calls `then` after every call of a method of a kind of object. */
  const after = (
    prototype: object,
    name: string,
    then: (self: never, args: readonly unknown[], result: never) => void,
  ): void => {
    const given = Reflect.get(prototype, name) as (...args: unknown[]) => unknown;
    Reflect.set(prototype, name, function (this: unknown, ...args: unknown[]): unknown {
      const result = Reflect.apply(given, this, args);
      then(this as never, args, result as never);
      return result;
    });
  };

  after(AudioNode.prototype, 'connect', (self: AudioNode, [to]) => {
    if (air === undefined || to !== air.context.destination) return;
    // It leaves a loudspeaker later than the graph, as the app knows and allows for.
    if (air.way.delayTime.value === 0) air.way.delayTime.value = delay / 1000 + (air.context.outputLatency || 0);
    self.connect(air.tool);
  });
  after(AudioBufferSourceNode.prototype, 'start', (self: AudioBufferSourceNode, [when]) => {
    if (mine.has(self) || self.context !== air?.context) return;
    news.given.push({ at: Number(when) * 1000, samples: self.buffer?.length ?? 0 });
  });
  after(IDBObjectStore.prototype, 'add', (self: IDBObjectStore, [row]) => {
    if (self.name === 'events') news.kept.push({ at: performance.now(), event: (row as { event: CheckEvent }).event });
  });
  after(Given.prototype, 'createMediaStreamSource', (self: AudioContext, _args, source: AudioNode) => {
    void tapped(self, 'clock', source, ({ at, heard }: { readonly at: Ms; readonly heard: number }) => {
      const now = (air?.context.currentTime ?? 0) * 1000;
      const told = clockFrom * 1000 + heard * lap;
      news.lags.push({ at: now, slip: within(at - told), late: within(now - told) });
    });
  });

  // The loudspeaker asks for a context as it is; the microphone's, which wants its sound soon, is another.
  globalThis.AudioContext = new Proxy(Given, {
    construct: (target, args: [AudioContextOptions?], made) =>
      args[0]?.latencyHint === undefined ? breathe().context : (Reflect.construct(target, args, made) as AudioContext),
  });
  navigator.mediaDevices.getUserMedia = async () => {
    const { context, cab } = breathe();
    await context.resume();
    const both = new ChannelMergerNode(context, { numberOfInputs: 2 });
    const microphone = new MediaStreamAudioDestinationNode(context, { channelCount: 2, channelCountMode: 'explicit' });
    cab.connect(both, 0, 0);
    both.connect(microphone);
    clockInto(context, both);
    return microphone.stream;
  };

  const cabAir: CabAir = {
    noise: (sound) => (noise = sound),
    say(sound, loud) {
      const { context, cab } = breathe();
      const source = new AudioBufferSourceNode(context, { buffer: bufferOf(context, sound) });
      mine.add(source);
      source.connect(new GainNode(context, { gain: loud })).connect(cab);
      const at = context.currentTime + SOON;
      source.start(at);
      return at * 1000;
    },
    news() {
      const now = air === undefined ? undefined : air.context.currentTime * 1000;
      if (now === undefined || air?.context.state !== 'running')
        return { now: undefined, sounds: [], given: [], kept: [], lags: [] };
      origin = Math.min(origin, performance.now() - now);
      const told = { now, ...news, kept: news.kept.map((each) => ({ ...each, at: each.at - origin })) };
      news = fresh();
      return told;
    },
  };
  Object.assign(globalThis, { cabAir });
}

/** The module of the taps: runs in the AudioWorklet's own scope, which the DOM library does not describe. */
export function tapsInWorklet(): void {
  interface Processor {
    readonly port: { postMessage(message: unknown): void };
  }
  const scope = globalThis as unknown as {
    readonly currentFrame: number;
    readonly sampleRate: number;
    readonly AudioWorkletProcessor: new () => Processor;
    registerProcessor(name: string, processor: new () => Processor): void;
  };
  type Inputs = readonly (readonly Float32Array[])[];
  /** Of full scale: what is softer is no sound of a voice. */
  const SOUNDS = 1e-3;
  /** A shorter silence, in seconds, lies within a word. */
  const SILENCE = 0.03;
  /** The clock is told so often, in seconds. */
  const EVERY = 0.25;
  const msOf = (frame: number): number => (frame * 1000) / scope.sampleRate;

  /** Tells from which sample to which its input sounds. */
  class Sounds extends scope.AudioWorkletProcessor {
    private last: number | undefined;

    process([input]: Inputs): boolean {
      input?.[0]?.forEach((sample, index) => {
        if (Math.abs(sample) < SOUNDS) return;
        if (this.last === undefined) this.port.postMessage({ at: msOf(scope.currentFrame + index), begins: true });
        this.last = scope.currentFrame + index + 1;
      });
      if (this.last !== undefined && scope.currentFrame - this.last > SILENCE * scope.sampleRate) {
        this.port.postMessage({ at: msOf(this.last), begins: false });
        this.last = undefined;
      }
      return true;
    }
  }

  /** Tells what it hears on the second channel, and when, a few times a second. */
  class Clock extends scope.AudioWorkletProcessor {
    private told = -Infinity;

    process([input]: Inputs): boolean {
      const heard = input?.[1]?.[0] ?? 0;
      if (heard === 0 || scope.currentFrame < this.told + EVERY * scope.sampleRate) return true;
      this.told = scope.currentFrame;
      this.port.postMessage({ at: msOf(scope.currentFrame), heard });
      return true;
    }
  }

  scope.registerProcessor('sounds', Sounds);
  scope.registerProcessor('clock', Clock);
}
