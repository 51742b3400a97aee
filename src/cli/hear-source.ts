import { extname } from 'node:path';
import type { CalloutSource } from '../check/event.ts';
import type { Grammar } from '../grammar/syntax.ts';
import type { EngineId } from '../hearing/port.ts';
import { bad, good, type Outcome, type Problem } from '../units/outcome.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { HearArguments } from './hear-arguments.ts';
import { openRecogniser } from './open-recogniser.ts';
import { recordingSource } from './hear-recording.ts';
import { readWav } from '../hearing/wav.ts';
import { readBytes } from './read-inputs.ts';
import { readTranscript, type Transcript } from './webvtt.ts';

interface HeardUtterance {
  readonly at: Ms;
  readonly end: Ms;
  readonly heard: string;
  readonly confidence: number;
  readonly source: CalloutSource;
  readonly engine?: EngineId;
}

/** What an utterance is listened for with. */
interface Listening {
  readonly grammar: Grammar;
  readonly rules: readonly string[];
  readonly unit: PressureUnit;
}

/** Whoever listens to a source. */
export interface Hearer {
  /** What to listen for now; no rules when nothing more is wanted. Asked before each utterance, after the one before it was taken. */
  listening(): Listening;
  take(utterance: HeardUtterance): void;
  /** Sound like speech that is none of what was listened for. */
  passOver?(at: Ms, end: Ms): void;
  /** The source has been worked through up to here. */
  pass(at: Ms): void;
}

/** Something with utterances in it. */
export interface Source {
  /** Gives every utterance to the hearer, in order. Once only. Resolves with the length of the file, in ms. */
  play(hearer: Hearer): Promise<Ms>;
}

/** Opens the recording or transcript that was named. `warn` is told of a recording that is cut short but heard as far as it goes. */
export async function openSource(args: HearArguments, warn: (problem: Problem) => void): Promise<Outcome<Source>> {
  const bytes = await readBytes(args.file);
  if (!bytes.ok) return bytes;
  switch (extname(args.file).toLowerCase()) {
    case '.vtt': {
      const transcript = readTranscript(bytes.value.toString('utf8'), args.file);
      return transcript.ok ? good(transcriptSource(transcript.value)) : transcript;
    }
    case '.wav':
      return openRecording(bytes.value, args, warn);
    default:
      return bad('neither a recording nor a transcript.', args.file, 'Give a .wav or a .vtt file.');
  }
}

async function openRecording(
  bytes: Uint8Array,
  args: HearArguments,
  warn: (problem: Problem) => void,
): Promise<Outcome<Source>> {
  const recording = readWav(bytes, args.file);
  if (!recording.ok) return recording;
  if (recording.value.problem !== undefined) warn(recording.value.problem);
  const recogniser = await openRecogniser(args);
  return recogniser.ok ? good(recordingSource(recording.value, recogniser.value)) : recogniser;
}

function transcriptSource({ cues, end }: Transcript): Source {
  return {
    play(hearer) {
      for (const { at, end: until, text } of cues) {
        hearer.pass(at);
        hearer.take({ at, end: until, heard: text, confidence: 1, source: 'transcript' });
      }
      return Promise.resolve(end);
    },
  };
}
