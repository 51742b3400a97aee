import { compile } from '../grammar/compile.ts';
import { createListener } from '../hearing/listener.ts';
import type { Recogniser } from '../hearing/port.ts';
import type { Recording } from '../hearing/wav.ts';
import type { Hearer, Source } from './callout-source.ts';

/** A recording as a source of utterances, worked through as a live check works through its microphone. */
export function recordingSource({ samples, rate }: Recording, recogniser: Recogniser): Source {
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
            else {
              hearer.take({
                at: heard.start,
                end: heard.end,
                heard: heard.text,
                confidence: heard.confidence,
                source: 'voice',
                engine: recogniser.id,
              });
            }
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
      try {
        // A second at a time; a check that is over listens for nothing more.
        for (let at = 0; at < samples.length && hearer.listening().rules.length > 0; at += rate) {
          await listener.push(samples.subarray(at, at + rate), rate);
          if (refused !== undefined) throw new Error(refused);
        }
        if (hearer.listening().rules.length > 0) await listener.flush();
      } finally {
        await recogniser.close();
      }
      return Math.ceil((samples.length * 1000) / rate);
    },
  };
}

function rulesetOf(hearer: Hearer): ReturnType<typeof compile> {
  const { grammar, rules, unit } = hearer.listening();
  return compile(grammar, rules, unit);
}
