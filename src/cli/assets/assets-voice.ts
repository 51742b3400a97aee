import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { encodeAdpcm } from '../../answering/adpcm.ts';
import { TOOL_VOICE, type Flite, type FliteVoice } from '../../answering/flite.ts';
import { OPERATOR_FILES, VOICE_FILES, type VoiceIndex } from '../../answering/voice-pack.ts';
import { QUICK } from '../../answering/wording-numbers.ts';
import { DEMO_LINES } from '../../running/demo-lines.ts';
import { speechEdges } from '../operator/operator-sound.ts';
import { fliteFile } from './cached-flite.ts';
import { writeIfChanged } from './write-file.ts';

export interface WrittenAsset {
  readonly changed: boolean;
  /** One line for the person who builds: what it is and how big. */
  readonly note: string;
}

/** Sound kept before and after the words of a clip, in ms: the synthesiser pads fragments with far longer silence. */
const MARGIN = 30;
const QUICK_MARGIN = 6;

/** What the made-up operator of the demo says, in another voice than the tool's. */
export function writeOperatorClips(outDir: string, flite: Flite): Promise<WrittenAsset> {
  return writeVoiceClips(outDir, Object.values(DEMO_LINES), flite, { voice: 'rms', files: OPERATOR_FILES });
}

/** Renders the fixed phrases (their pause marks are silence) into one clip file with its index, in `outDir` (the folder `voice/` of the app). */
export async function writeVoiceClips(
  outDir: string,
  phrases: readonly string[],
  flite: Flite,
  { voice, files }: { voice: FliteVoice; files: { index: string; clips: string } } = {
    voice: TOOL_VOICE,
    files: VOICE_FILES,
  },
): Promise<WrittenAsset> {
  const clips: Record<string, [number, number]> = {};
  const parts: Uint8Array[] = [];
  let offset = 0;
  let rate = 0;
  for (const phrase of [...new Set(phrases)].filter((each) => /[a-z]/i.test(each)).sort()) {
    const speech = await flite.speak(phrase, voice);
    rate = speech.rate;
    const { onset, end } = speechEdges(speech.samples, speech.rate);
    const perMs = speech.rate / 1000;
    const margin = phrase.startsWith(QUICK) ? QUICK_MARGIN : MARGIN;
    const bytes = encodeAdpcm(
      speech.samples.subarray(Math.max(0, Math.round((onset - margin) * perMs)), Math.round((end + margin) * perMs)),
    );
    clips[phrase] = [offset, bytes.length];
    parts.push(bytes);
    offset += bytes.length;
  }
  const index: VoiceIndex = { format: 'two-needles-voice', version: 1, voice, rate, clips };
  const wroteClips = await writeIfChanged(join(outDir, files.clips), Buffer.concat(parts));
  const wroteIndex = await writeIfChanged(join(outDir, files.index), JSON.stringify(index));
  return { changed: wroteClips || wroteIndex, note: `${parts.length} phrases, ${Math.round(offset / 1000)} kB` };
}

/** Copies the synthesiser, which is loaded only for phrases that are in no clip, and its licence. */
export async function writeSynthesiser(outDir: string): Promise<WrittenAsset> {
  const wasm = await readFile(fliteFile('flite.wasm'));
  const changed = await writeIfChanged(join(outDir, VOICE_FILES.synthesiser), wasm);
  await writeIfChanged(join(outDir, 'LICENCE.txt'), await readFile(fliteFile('COPYING')));
  return { changed, note: `${(wasm.length / 1e6).toFixed(1)} MB, loaded only for free text` };
}
