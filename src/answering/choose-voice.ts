import { embeddedSpeaker, type EmbeddedSources, type Player } from './embedded-speaker.ts';
import { HOST_TIMERS, systemSpeaker, type Synthesis } from './system-speaker.ts';
import { createVoice, type Speaker, type Timers, type Voice } from './voice.ts';

export interface VoiceHost {
  /** Undefined where the browser has no speech synthesis at all. */
  readonly synthesis?: Synthesis;
  readonly makeUtterance: (text: string) => SpeechSynthesisUtterance;
  readonly sources: EmbeddedSources;
  readonly player: Player;
  readonly timers?: Timers;
  /** A phrase that no voice can say: it is to be shown large. A tone has sounded in its place. */
  readonly unsaid?: (phrase: string) => void;
}

/**
 * The embedded voice, of which the ear knows every sample, and so hears the operator over it; the system's own where the settings want it,
 * and where the embedded one lacks a phrase or has no sound.
 */
export function chooseVoice(host: VoiceHost): Voice {
  const timers = host.timers ?? HOST_TIMERS;
  const embedded = embeddedSpeaker(host.sources, host.player);
  const rest = embeddedSpeaker(host.sources, host.player, host.unsaid ?? (() => undefined));
  if (host.synthesis === undefined) return createVoice([embedded, rest], timers);
  const system = systemSpeaker(host.synthesis, host.makeUtterance, timers);
  const wanted: Speaker = {
    say: (phrases, saying) => (saying.settings.system ? system.say(phrases, saying) : Promise.resolve(false)),
  };
  return createVoice([wanted, embedded, system, rest], timers);
}
