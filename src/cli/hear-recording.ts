import { compile } from '../grammar/compile.ts';
import { createEndpointer, type Utterance } from '../hearing/endpointer.ts';
import type { Recogniser } from '../hearing/port.ts';
import { createResampler } from '../hearing/resampler.ts';
import type { Recording } from '../hearing/wav.ts';
import { SAMPLE_RATE } from '../units/time.ts';
import type { Source } from './hear-source.ts';

/** A recording as a source of utterances, heard as a live check hears: cut by the endpointer, each under its own rules. */
export function recordingSource(recording: Recording, recogniser: Recogniser): Source {
  return {
    async play(listening, take) {
      const sound = atSampleRate(recording);
      for (const { start, end } of utterancesOf(sound)) {
        const { grammar, rules, unit } = listening();
        // A check that is over listens for nothing.
        if (rules.length === 0) break;
        await recogniser.setGrammar(compile(grammar, rules, unit));
        const heard = await recogniser.recognise(sound.subarray(start, end), start);
        if (heard.rejected || heard.text === '') continue;
        take({
          at: heard.start,
          end: heard.end,
          heard: heard.text,
          confidence: heard.confidence,
          source: 'voice',
          engine: recogniser.id,
        });
      }
      return (sound.length * 1000) / SAMPLE_RATE;
    },
  };
}

function atSampleRate({ samples, rate }: Recording): Float32Array {
  if (rate === SAMPLE_RATE) return samples;
  const resampler = createResampler(rate);
  const body = resampler.push(samples);
  const rest = resampler.flush();
  const sound = new Float32Array(body.length + rest.length);
  sound.set(body);
  sound.set(rest, body.length);
  return sound;
}

const FRAME = SAMPLE_RATE / 100;

function utterancesOf(sound: Float32Array): Utterance[] {
  const endpointer = createEndpointer();
  const found: Utterance[] = [];
  const keep = (events: ReturnType<typeof endpointer.next>): void => {
    for (const event of events) if (event.type === 'ended') found.push(event.utterance);
  };
  for (let at = 0; at + FRAME <= sound.length; at += FRAME) keep(endpointer.next(sound.subarray(at, at + FRAME)));
  keep(endpointer.flush());
  return found;
}
