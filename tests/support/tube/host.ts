import type { FliteVoice, Speech } from '../../../src/answering/flite.ts';
import type { VoicePack } from '../../../src/answering/voice-pack.ts';
import type { Grammar } from '../../../src/grammar/syntax.ts';
import type { Recogniser } from '../../../src/hearing/port.ts';

/** What a test tube needs of the machine it runs on: Node, or a page. */
export interface TubeHost {
  readonly grammar: Grammar;
  /** The same words in the same voice give the same samples; kept in the process. */
  speak(text: string, voice: FliteVoice): Promise<Speech>;
  /** The clips of the tool's voice. */
  voicePack(): Promise<VoicePack>;
  /** An engine of its own, not yet loaded. */
  engine(ear: TubeEar, killable: (kill: () => void) => void, restarted: (reason: string) => void): Recogniser;
  /** Frees what was opened. */
  close(): Promise<void>;
}

/** Our own model, or the embedded engine. */
export type TubeEar = 'own' | 'embedded';
