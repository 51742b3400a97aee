import { join } from 'node:path';
import type { Flite } from '../../answering/flite.ts';
import { writeWav } from '../../hearing/wav.ts';
import { ENGINE_31, fullCabCheckScript, LADDER_36, type Scenario } from '../../rehearsal/synthetic-operator-script.ts';
import { SAMPLE_RATE } from '../../units/time.ts';
import type { WrittenAsset } from './assets-voice.ts';
import {
  QUIET_CAB,
  recordOperator,
  type OperatorRecording,
  type OperatorVoice,
} from '../operator/operator-recording.ts';
import { writeTranscript } from '../shared/webvtt.ts';
import { writeIfChanged } from './write-file.ts';

/** The demo checks: everything inside its limits, and a leak. */
const DEMOS: readonly { readonly scenario: Scenario; readonly voice: OperatorVoice }[] = [
  { scenario: ENGINE_31, voice: 'rms' },
  { scenario: LADDER_36, voice: 'awb' },
];

/**
 * The pace of an operator to whom nothing is answered aloud, in ms: long enough to be cut into callouts, short enough to
 * keep the file small. One to whom something is answered needs `livePace`.
 */
export const BRISK_PACE = { lead: 800, pause: 1100 };
export const BRISK_AFTER_HOLD = 900;
const TAIL = 1000;

/** Makes the demo recordings with their transcripts and their truth, in `outDir` (the folder `demo/` of the app). */
export async function writeDemo(outDir: string, flite: Flite): Promise<WrittenAsset> {
  let changed = false;
  let seconds = 0;
  for (const { scenario, voice } of DEMOS) {
    const script = fullCabCheckScript(scenario, { holdSeconds: 60, afterHold: BRISK_AFTER_HOLD });
    const recording = await recordOperator(script, { voice, pace: BRISK_PACE, noise: QUIET_CAB, tail: TAIL }, flite);
    changed = (await writeRecording(outDir, scenario, voice, recording)) || changed;
    seconds += recording.samples.length / SAMPLE_RATE;
  }
  return { changed, note: `${DEMOS.length} recordings, ${Math.round(seconds)} s in all` };
}

/** Writes the recording of a scenario, its transcript, its truth and its rig's settings; true when any of them changed. */
export async function writeRecording(
  outDir: string,
  { id, rig }: Scenario,
  voice: OperatorVoice,
  { samples, truth }: OperatorRecording,
): Promise<boolean> {
  const written = [
    await writeIfChanged(join(outDir, `${id}.rig.json`), `${JSON.stringify(rig, null, 1)}\n`),
    await writeIfChanged(join(outDir, `${id}.wav`), writeWav(samples, SAMPLE_RATE)),
    await writeIfChanged(join(outDir, `${id}.vtt`), writeTranscript(truth)),
    await writeIfChanged(
      join(outDir, `${id}.truth.json`),
      `${JSON.stringify({ voice, utterances: truth }, null, 1)}\n`,
    ),
  ];
  return written.includes(true);
}
