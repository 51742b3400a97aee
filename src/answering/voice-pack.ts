import * as v from 'valibot';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { decodeAdpcm } from './adpcm.ts';
import type { Speech } from './flite.ts';

/** Names in the folder `voice/` of the built app. */
export const VOICE_FILES = { index: 'clips.json', clips: 'clips.bin', synthesiser: 'flite.wasm' } as const;
/** The same of the operator in the demo. */
export const OPERATOR_FILES = { index: 'operator.json', clips: 'operator.bin' } as const;

const indexSchema = v.object({
  format: v.literal('two-needles-voice'),
  version: v.literal(1),
  voice: v.string(),
  /** Hz. */
  rate: v.pipe(v.number(), v.minValue(8000)),
  /** Where the ADPCM bytes of each phrase are in the clip file. */
  clips: v.record(v.string(), v.tuple([v.number(), v.number()])),
});

/** Phrase to [offset, length] in bytes. */
export type VoiceIndex = v.InferOutput<typeof indexSchema>;

/** The fixed phrases as sound. */
export interface VoicePack {
  /** The clip of a phrase, or undefined when it is not one of the fixed phrases. */
  clip(phrase: string): Speech | undefined;
}

/** Reads a pack; a clip that reaches past the end of the file refuses it, since the file was cut short. */
export function readVoicePack(index: unknown, clips: Uint8Array): Outcome<VoicePack> {
  const parsed = v.safeParse(indexSchema, index);
  if (!parsed.success)
    return bad('the index of the voice clips cannot be read.', VOICE_FILES.index, 'Build the app again.');
  const { rate, clips: places } = parsed.output;
  const end = Math.max(0, ...Object.values(places).map(([offset, length]) => offset + length));
  if (end > clips.length) return bad('the voice clips are cut short.', VOICE_FILES.clips, 'Load the page again.');
  return good({
    clip(phrase) {
      const place = Object.hasOwn(places, phrase) ? places[phrase] : undefined;
      if (place === undefined) return undefined;
      return { samples: decodeAdpcm(clips.subarray(place[0], place[0] + place[1])), rate };
    },
  });
}
