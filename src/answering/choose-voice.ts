import type { EmbeddedSources, Player } from './embedded-speaker.ts';
import { embeddedSpeaker } from './embedded-speaker.ts';
import { HOST_TIMERS, systemSpeaker, waitForVoice, type Synthesis } from './system-speaker.ts';
import { createVoice, type Timers, type Voice } from './voice.ts';

export interface VoiceHost {
  /** Undefined where the browser has no speech synthesis at all. */
  readonly synthesis?: Synthesis;
  readonly makeUtterance: (text: string) => SpeechSynthesisUtterance;
  readonly sources: EmbeddedSources;
  readonly player: Player;
  readonly timers?: Timers;
}

export interface ChosenVoice {
  readonly voice: Voice;
  /** What to show in the settings: the name of the browser's voice, or `embedded`. */
  readonly name: string;
}

/**
 * The browser's own voice when it has an English one, else the embedded voice. An answer that the browser fails to
 * say goes to the embedded voice.
 */
export async function chooseVoice(host: VoiceHost): Promise<ChosenVoice> {
  const timers = host.timers ?? HOST_TIMERS;
  const embedded = embeddedSpeaker(host.sources, host.player);
  const found = host.synthesis === undefined ? undefined : await waitForVoice(host.synthesis, undefined, timers);
  if (host.synthesis === undefined || found === undefined)
    return { voice: createVoice([embedded], timers), name: 'embedded' };
  return {
    voice: createVoice([systemSpeaker(host.synthesis, host.makeUtterance, timers), embedded], timers),
    name: found.name,
  };
}
