import type { Flite, FliteVoice } from '../../answering/flite.ts';
import { layOut, type Pace, type ScriptLine, type Utterance } from '../../rehearsal/synthetic-operator.ts';
import type { Ms } from '../../units/time.ts';
import { mixTrack, speechEdges, type CabNoise } from './operator-sound.ts';

/** Voices of the synthesiser that speak at the 16 kHz of the recordings. */
export const OPERATOR_VOICES = ['slt', 'rms', 'awb', 'kal16'] as const satisfies readonly FliteVoice[];
export type OperatorVoice = (typeof OPERATOR_VOICES)[number];

export interface RecordingOptions {
  readonly voice: OperatorVoice;
  readonly pace: Omit<Pace, 'speechLength'>;
  readonly noise: CabNoise;
  /** Sound after the last word, in ms. */
  readonly tail: Ms;
}

/** What is said in a recording, with the times at which the words begin and end in the file. */
export interface OperatorRecording {
  /** Mono, 16 kHz. */
  readonly samples: Float32Array;
  readonly truth: readonly Utterance[];
}

/** A quiet cab: the level that keeps the recogniser's silence from being digital. */
export const QUIET_CAB: CabNoise = { floorDb: -55, seed: 31 };

/** Renders a script with one voice. The truth is measured on the rendered clips by their energy. */
export async function recordOperator(
  script: readonly ScriptLine[],
  options: RecordingOptions,
  flite: Flite,
): Promise<OperatorRecording> {
  const clips = new Map<string, { samples: Float32Array; onset: Ms; end: Ms }>();
  for (const { text } of script) {
    if (clips.has(text)) continue;
    const { samples, rate } = await flite.speak(text, options.voice);
    clips.set(text, { samples, ...speechEdges(samples, rate) });
  }
  const clipOf = (text: string): { samples: Float32Array; onset: Ms; end: Ms } => {
    const clip = clips.get(text);
    if (clip === undefined) throw new Error(`no clip of “${text}”`);
    return clip;
  };
  const truth = layOut(script, { ...options.pace, speechLength: (text) => clipOf(text).end - clipOf(text).onset });
  const placed = truth.map(({ text, at }) => ({ at: at - clipOf(text).onset, samples: clipOf(text).samples }));
  return { samples: mixTrack(placed, (truth.at(-1)?.end ?? 0) + options.tail, options.noise), truth };
}
