import type { Problem } from '../units/outcome.ts';
import type { Gain } from './gain.ts';
import workletAddress from './capture-worklet.ts?worker&url';
import { deviceSound } from './device-sound.ts';
import type { Chunk } from './gap-watch.ts';
import type { Microphone, MicrophoneEvents } from './microphone-port.ts';
import { anotherMicrophone, INSECURE, microphoneProblem, UNPLUGGED } from './microphone-problems.ts';

export interface MicrophoneOptions {
  /** Let the browser take the app's own voice out of the sound; it also distorts speech over noise. */
  readonly echoCancellation: boolean;
  /** Id of the device that is wanted; the system chooses where it is empty or not there. */
  readonly device?: string;
  /** See `settings.ts`. */
  readonly gain?: Gain;
  /** Ms that only grow. */
  readonly steady: () => number;
}

/** Without a gesture a browser may never say whether it lets the sound begin. */
const WAKE_MS = 100;

/**
 * Opens the microphone and keeps it open: a device that is unplugged is taken up again when one appears. Every failure
 * is told as a problem, none is thrown.
 */
export function openMicrophone(options: MicrophoneOptions, events: MicrophoneEvents): Microphone {
  const { device: wanted = '', gain = '0' } = options;
  let live: { readonly stream: MediaStream; readonly context: AudioContext } | undefined;
  let stopped = false;
  let opening = false;
  // Absent on pages without secure context, whatever the DOM library says.
  const devices = navigator.mediaDevices as MediaDevices | undefined;

  const letGo = (): void => {
    for (const track of live?.stream.getTracks() ?? []) track.stop();
    void live?.context.close();
    live = undefined;
  };

  const lost = (problem: Problem): void => {
    if (stopped) return;
    letGo();
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
          echoCancellation: options.echoCancellation,
          noiseSuppression: false,
          autoGainControl: gain === 'auto',
          ...(wanted === '' ? {} : { deviceId: { ideal: wanted } }),
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
    const source = context.createMediaStreamSource(stream);
    if (gain === '0' || gain === 'auto') source.connect(capture);
    else source.connect(new GainNode(context, { gain: 10 ** (Number(gain) / 20) })).connect(capture);
    if (stopped) {
      for (const track of stream.getTracks()) track.stop();
      return void context.close();
    }
    live = { stream, context };
    const isLive = (): boolean => live?.context === context;
    const [track] = stream.getAudioTracks();
    const device = deviceSound(context.sampleRate, events);
    const look = (): void => {
      if (isLive()) device.is({ running: context.state === 'running', muted: track?.muted === true });
    };
    capture.port.onmessage = ({ data }: MessageEvent<Chunk>) => {
      if (isLive()) device.take(data, options.steady());
    };
    track?.addEventListener('ended', () => {
      if (isLive()) lost(UNPLUGGED);
    });
    track?.addEventListener('mute', look);
    track?.addEventListener('unmute', look);
    context.addEventListener('statechange', look);
    look();
    if (wanted !== '' && track?.getSettings().deviceId !== wanted)
      events.problem(anotherMicrophone(track?.label ?? ''));
    if (context.state !== 'running')
      await Promise.race([context.resume(), new Promise((resolve) => setTimeout(resolve, WAKE_MS))]);
  };

  const onDeviceChange = (): void => void open();
  devices?.addEventListener('devicechange', onDeviceChange);
  void open();

  return {
    async retry() {
      if (live !== undefined && live.context.state !== 'running') await live.context.resume();
      await open();
    },
    stop() {
      stopped = true;
      devices?.removeEventListener('devicechange', onDeviceChange);
      letGo();
    },
  };
}
