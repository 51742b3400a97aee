import { compile } from '../grammar/compile.ts';
import { createListener } from '../hearing/listener.ts';
import type { Recogniser } from '../hearing/port.ts';
import type { Recording } from '../hearing/wav.ts';
import { playRecording } from './play-recording.ts';
import type { Hearer, Source } from './callout-source.ts';

/** A recording as a source of utterances, worked through as a live check works through its microphone. */
export function recordingSource(recording: Recording, recogniser: Recogniser): Source {
  return {
    async play(hearer) {
      let refused: string | undefined;
      const listener = createListener(
        recogniser,
        { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: false },
        {
          started: () => undefined,
          heard(heard) {
            if (heard.rejected || heard.text === '') hearer.passOver?.(heard.start, heard.end);
            else hearer.take({ ...heard, source: 'voice' });
            listenNow();
            return Promise.resolve();
          },
          clock(now) {
            hearer.pass(now);
            listenNow();
            return Promise.resolve();
          },
          refused: (reason) => {
            refused = reason;
          },
        },
      );
      const listenNow = (): void => listener.listenFor(rulesetOf(hearer));
      listenNow();
      const player = {
        feed: (sound: Float32Array, rate: number) => listener.push(sound, rate),
        flush: () => listener.flush(),
      };
      try {
        await playRecording(recording, player, () => {
          if (refused !== undefined) throw new Error(refused);
          // A check that is over listens for nothing more.
          return hearer.listening().rules.length > 0;
        });
      } finally {
        await recogniser.close();
      }
      return Math.ceil((recording.samples.length * 1000) / recording.rate);
    },
  };
}

function rulesetOf(hearer: Hearer): ReturnType<typeof compile> {
  const { grammar, rules, unit } = hearer.listening();
  return compile(grammar, rules, unit);
}
