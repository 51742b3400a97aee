import type { Problem } from '../units/outcome.ts';
import workletAddress from './capture-worklet.ts?worker&url';
import type { CapturedChunk } from './capture-worklet.ts';
import { createGapWatch } from './gap-watch.ts';
import { gapProblem, INSECURE, microphoneProblem, SUSPENDED, UNPLUGGED } from './microphone-problems.ts';

export interface MicrophoneOptions {
  /** Let the browser take the app's own voice out of the sound. Default false: it also distorts speech over noise. */
  readonly echoCancellation?: boolean;
}

export interface MicrophoneEvents {
  /** The next mono samples at `rate` Hz. Lost sound is given as silence, so that sample counts stay true to time. */
  readonly sound: (samples: Float32Array, rate: number) => void;
  /** `listening`: sound comes from a device. `waiting`: there is none now (a problem was told); silence is given meanwhile. */
  readonly state: (state: 'listening' | 'waiting') => void;
  readonly problem: (problem: Problem) => void;
}

export interface Microphone {
  /** Asks for the device again, after a refusal; call it from a touch or key, which also wakes a paused audio context. */
  retry(): Promise<void>;
  /** Lets go of the device. No event follows. */
  stop(): void;
}

/** What stands in for a device that is away. */
const SILENCE_RATE = 16_000;
const SILENCE_MS = 100;
/** Shorter losses are filled without a word: Chromium leaves out 0.1 s when a device starts. */
const TOLD_GAP_MS = 250;

/**
 * Opens the microphone and keeps it open: a device that is unplugged is taken up again when one appears. Every failure
 * is told as a problem, none is thrown, and sound time never stands still.
 */
export function openMicrophone(options: MicrophoneOptions, events: MicrophoneEvents): Microphone {
  let live: { readonly stream: MediaStream; readonly context: AudioContext } | undefined;
  let stopped = false;
  let opening = false;
  let awaySince = Date.now();
  const silence = setInterval(() => fillWithSilence(), SILENCE_MS);
  // Absent on pages without secure context, whatever the DOM library says.
  const devices = navigator.mediaDevices as MediaDevices | undefined;

  const fillWithSilence = (): void => {
    if (live !== undefined) return;
    const now = Date.now();
    const samples = Math.floor(((now - awaySince) * SILENCE_RATE) / 1000);
    if (samples <= 0) return;
    awaySince += (samples * 1000) / SILENCE_RATE;
    events.sound(new Float32Array(samples), SILENCE_RATE);
  };

  const letGo = (): void => {
    for (const track of live?.stream.getTracks() ?? []) track.stop();
    void live?.context.close();
    live = undefined;
  };

  const lost = (problem: Problem): void => {
    if (stopped) return;
    letGo();
    awaySince = Date.now();
    events.state('waiting');
    events.problem(problem);
  };

  const open = async (): Promise<void> => {
    if (devices === undefined) {
      lost(INSECURE);
      return;
    }
    if (opening || stopped || live !== undefined) return;
    opening = true;
    try {
      const stream = await devices.getUserMedia({
        audio: {
          channelCount: 1,
          echoCancellation: options.echoCancellation ?? false,
          noiseSuppression: false,
          autoGainControl: false,
        },
      });
      await connect(stream);
    } catch (error) {
      lost(microphoneProblem(error));
    } finally {
      opening = false;
    }
  };

  const connect = async (stream: MediaStream): Promise<void> => {
    const context = new AudioContext({ latencyHint: 'interactive' });
    await context.audioWorklet.addModule(workletAddress);
    const capture = new AudioWorkletNode(context, 'capture', { numberOfOutputs: 0 });
    context.createMediaStreamSource(stream).connect(capture);
    if (stopped) {
      for (const track of stream.getTracks()) track.stop();
      return void context.close();
    }
    const gaps = createGapWatch(context.sampleRate);
    fillWithSilence();
    live = { stream, context };
    capture.port.onmessage = (message: MessageEvent<CapturedChunk>) => {
      if (live?.context === context)
        takeChunk(
          message.data,
          context.sampleRate,
          gaps.next(message.data.index, message.data.samples.length, message.data.at),
        );
    };
    stream.getAudioTracks()[0]?.addEventListener('ended', () => {
      if (live?.stream === stream) lost(UNPLUGGED);
    });
    context.addEventListener('statechange', () => {
      if (live?.context === context && context.state === 'suspended') events.problem(SUSPENDED);
    });
    events.state('listening');
    if (context.state === 'suspended') await wake(context);
  };

  const wake = async (context: AudioContext): Promise<void> => {
    // Without a gesture a browser may leave this promise open for ever: the problem is told at once.
    events.problem(SUSPENDED);
    await Promise.race([context.resume(), new Promise((resolve) => setTimeout(resolve, SILENCE_MS))]);
  };

  const takeChunk = (chunk: CapturedChunk, rate: number, missing: number): void => {
    if (missing > 0) {
      const ms = (missing * 1000) / rate;
      if (ms >= TOLD_GAP_MS) events.problem(gapProblem(ms));
      events.sound(new Float32Array(missing), rate);
    }
    events.sound(chunk.samples, rate);
  };

  const onDeviceChange = (): void => void open();
  devices?.addEventListener('devicechange', onDeviceChange);
  void open();

  return {
    async retry() {
      if (live?.context.state === 'suspended') await live.context.resume();
      await open();
    },
    stop() {
      stopped = true;
      clearInterval(silence);
      devices?.removeEventListener('devicechange', onDeviceChange);
      letGo();
    },
  };
}
