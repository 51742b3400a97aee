import { compile } from '../grammar/compile.ts';
import { createSegmenter } from '../hearing/segmenter.ts';
import type { Recogniser } from '../hearing/port.ts';
import type { Recording } from '../hearing/wav.ts';
import { playRecording } from './play-recording.ts';
import type { CalloutTaker, CalloutSource } from './callout-source.ts';

/** A recording as a source of utterances, worked through as a live check works through its microphone. */
export function recordingSource(recording: Recording, recogniser: Recogniser): CalloutSource {
  return {
    async play(taker) {
      let refused: string | undefined;
      const segmenter = createSegmenter(
        recogniser,
        { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: false },
        {
          started: () => undefined,
          heard(heard) {
            if (heard.rejected || heard.text === '') taker.passOver?.(heard.start, heard.end);
            else taker.take({ ...heard, source: 'voice' });
            listenNow();
            return Promise.resolve();
          },
          clock(now) {
            taker.pass(now);
            listenNow();
            return Promise.resolve();
          },
          refused: (reason) => {
            refused = reason;
          },
        },
      );
      const listenNow = (): void => segmenter.listenFor(rulesetOf(taker));
      listenNow();
      const player = {
        feed: (sound: Float32Array, rate: number) => segmenter.push(sound, rate),
        flush: () => segmenter.flush(),
      };
      try {
        await playRecording(recording, player, () => {
          if (refused !== undefined) throw new Error(refused);
          // A check that is over listens for nothing more.
          return taker.listening().rules.length > 0;
        });
      } finally {
        await recogniser.close();
      }
      return Math.ceil((recording.samples.length * 1000) / recording.rate);
    },
  };
}

function rulesetOf(taker: CalloutTaker): ReturnType<typeof compile> {
  const { grammar, rules, unit } = taker.listening();
  return compile(grammar, rules, unit);
}
