import { extname } from 'node:path';
import { bad, good, type Outcome, type Problem } from '../../units/outcome.ts';
import type { HearArguments } from './hear-arguments.ts';
import { openRecogniser } from './open-recogniser.ts';
import type { CalloutSource } from '../../running/callout-source.ts';
import { recordingSource } from '../../running/recording-source.ts';
import { readWav } from '../../hearing/wav.ts';
import { readBytes } from '../shared/read-inputs.ts';
import { readTranscript, type Transcript } from '../shared/webvtt.ts';

/**
 * Opens the recording or transcript that was named. `warn` is told of a recording that is cut short but heard as far as it goes, and of
 * what other people said in a transcript: a helper outside who saw the rig move is no operator, and must not vanish unnoticed.
 */
export async function openSource(
  args: HearArguments,
  warn: (problem: Problem) => void,
): Promise<Outcome<CalloutSource>> {
  const bytes = await readBytes(args.file);
  if (!bytes.ok) return bytes;
  switch (extname(args.file).toLowerCase()) {
    case '.vtt': {
      const transcript = readTranscript(bytes.value.toString('utf8'), args.file);
      if (!transcript.ok) return transcript;
      const { others } = transcript.value;
      if (others.size > 0) warn(notOfTheOperator(others, args.file));
      return good(transcriptSource(transcript.value));
    }
    case '.wav':
      return openRecording(bytes.value, args, warn);
    default:
      return bad('neither a recording nor a transcript.', args.file, 'Give a .wav or a .vtt file.');
  }
}

function notOfTheOperator(others: Transcript['others'], file: string): Problem {
  const voices = [...others].map(([voice, count]) => `${voice} (${String(count)})`).join(', ');
  return {
    what: `the cues of other voices are left out: ${voices}; what goes wrong in them is flagged.`,
    where: file,
    repair: 'Only the operator is judged; read what the others said.',
  };
}

async function openRecording(
  bytes: Uint8Array,
  args: HearArguments,
  warn: (problem: Problem) => void,
): Promise<Outcome<CalloutSource>> {
  const recording = readWav(bytes, args.file);
  if (!recording.ok) return recording;
  if (recording.value.problem !== undefined) warn(recording.value.problem);
  const recogniser = await openRecogniser(args, warn);
  return recogniser.ok ? good(recordingSource(recording.value, recogniser.value)) : recogniser;
}

function transcriptSource({ cues, end }: Transcript): CalloutSource {
  return {
    play(taker) {
      for (const { at, end: until, text, voice } of cues) {
        taker.pass(at);
        const said = { start: at, end: until, text, confidence: 1, source: 'transcript' as const };
        taker.take(voice === undefined ? said : { ...said, voice });
      }
      return Promise.resolve(end);
    },
  };
}
