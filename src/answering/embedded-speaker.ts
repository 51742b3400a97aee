import type { Speech } from './flite.ts';
import type { VoicePack } from './voice-pack.ts';
import type { Saying, Speaker } from './voice.ts';

/** Makes a sound heard. */
export interface Player {
  /** Resolves when the sound has left the loudspeaker or was cut. Rejects when there is no sound output. */
  play(speech: Speech, saying: Saying): Promise<void>;
}

export interface EmbeddedSources {
  /** The clips of the fixed phrases; undefined when they are missing. Called once, at the first phrase. */
  loadPack(): Promise<VoicePack | undefined>;
  /** Speaks any other phrase; undefined when the synthesiser is missing. */
  synthesise(phrase: string): Promise<Speech | undefined>;
}

/** The voice that comes with the app: clips made at build time, and live synthesis for everything else. */
export function embeddedSpeaker(sources: EmbeddedSources, player: Player): Speaker {
  let pack: Promise<VoicePack | undefined> | undefined;
  return {
    async say(phrase, saying) {
      pack ??= sources.loadPack();
      const speech = (await pack)?.clip(phrase) ?? (await sources.synthesise(phrase));
      if (speech === undefined) return false;
      if (!saying.cut.aborted) await player.play(speech, saying);
      return true;
    },
  };
}

/** Silence after each phrase, in seconds, so that two clips do not run into each other. */
const GAP = 0.12;
/** A suspended context that takes longer than this to run is waiting for a press that will not come, in seconds. */
const LONGEST_RESUME = 1;
/** A context that is interrupted (a phone call) never ends its sounds: give up this long after they were due, in seconds. */
const GRACE = 2;

/**
 * Plays through WebAudio. The context is made at the first phrase, which follows a press of the user: browsers start
 * none without one. With one that stays suspended `play` rejects, and the words are only shown.
 */
export function webAudioPlayer(makeContext: () => AudioContext): Player {
  let context: AudioContext | undefined;
  return {
    async play(speech, { settings, cut, sounding }) {
      context ??= makeContext();
      const running = context;
      if (running.state !== 'running') {
        await Promise.race([running.resume(), seconds(LONGEST_RESUME)]);
        // Read again: the state has changed behind the type checker's back.
        if ((running.state as AudioContextState) !== 'running') throw new Error('sound output is suspended');
      }
      const buffer = running.createBuffer(1, speech.samples.length, speech.rate);
      buffer.getChannelData(0).set(speech.samples);
      const source = new AudioBufferSourceNode(running, { buffer, playbackRate: settings.rate });
      const gain = new GainNode(running, { gain: settings.volume });
      source.connect(gain).connect(running.destination);
      const ended = new Promise<void>((resolve) => {
        source.onended = () => resolve();
      });
      const stop = (): void => source.stop();
      cut.addEventListener('abort', stop);
      source.start();
      sounding();
      await Promise.race([ended, seconds(buffer.duration / settings.rate + GRACE)]);
      cut.removeEventListener('abort', stop);
      gain.disconnect();
      // What has left the graph still takes the output latency to be heard; hearing stays gated for that long.
      if (!cut.aborted) await seconds(GAP + (running.outputLatency || 0));
    },
  };
}

function seconds(length: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, length * 1000));
}
