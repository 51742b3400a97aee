import { mixTrack } from '../../src/cli/operator/operator-sound.ts';
import type { Heard } from '../../src/hearing/port.ts';
import { createSecondOpinion } from '../../src/hearing/second-opinion.ts';
import { createSegmenter } from '../../src/hearing/segmenter.ts';
import { languageOf } from '../../src/running/language.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs, type Ms } from '../../src/units/time.ts';
import { browserHost } from '../support/tube/host-browser.ts';

/** What `tests/bench/slow-phone.ts` runs in the browser. Times in ms of this machine. */
export interface SlowPhoneFigures {
  readonly sound: Ms;
  /** What our own ear alone took for it. */
  readonly took: Ms;
  readonly heard: readonly string[];
  /** The first ear was ready after so long, from the archive as it is cached. */
  readonly loaded: Ms;
  /** What was told when it was heard by both, and how many were heard before that. */
  readonly lines: readonly string[];
  readonly before: number;
}

const BETWEEN: Ms = 1_900;
const STEP = msToSamples(20);
const READINGS = [
  'primary one one eight secondary one one six',
  'primary nine six secondary nine four',
  'primary one two five secondary one two three',
  'primary eight seven secondary eight five',
  'primary one zero four secondary one zero two',
  'primary one two one secondary one one nine',
  'primary nine two secondary nine zero',
  'primary one one three secondary one one one',
];

/** Readings over a diesel, 10 dB below; `slower`: how many times slower than this machine the clock of the second opinion takes it to be. */
export async function measure(slower: number): Promise<SlowPhoneFigures> {
  const host = await browserHost();
  const ruleset = languageOf(host.grammar).ruleset(['hold', 'repaired'], 'psi');
  const began = performance.now();
  const first = host.engine(
    'own',
    () => undefined,
    () => undefined,
  );
  await first.load(() => undefined);
  await first.setGrammar(ruleset);
  const loaded = performance.now() - began;
  const other = host.engine(
    'embedded',
    () => undefined,
    () => undefined,
  );
  await other.load(() => undefined);
  await other.setGrammar(ruleset);

  const placed: { at: Ms; samples: Float32Array }[] = [];
  let length = BETWEEN;
  for (const [nth, words] of READINGS.entries()) {
    const { samples } = await host.speak(words, nth % 2 === 0 ? 'rms' : 'awb');
    placed.push({ at: length, samples });
    length += samplesToMs(samples.length) + BETWEEN;
  }
  const sound = mixTrack(placed, length, { floorDb: -55, seed: 1, dieselSnrDb: 10 });

  const hear = async (each: (heard: Heard) => Promise<void>): Promise<void> => {
    const segmenter = createSegmenter(
      first,
      { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: true },
      { started: () => undefined, heard: each, clock: () => Promise.resolve(), refused: (line) => lines.push(line) },
    );
    segmenter.listenFor(ruleset);
    for (let from = 0; from < sound.length; from += STEP)
      await segmenter.push(sound.subarray(from, from + STEP), SAMPLE_RATE);
    await segmenter.flush();
  };

  const lines: string[] = [];
  const heard: string[] = [];
  const start = performance.now();
  await hear((each) => {
    heard.push(each.text);
    return Promise.resolve();
  });
  const took = performance.now() - start;

  let before = 0;
  const opinion = createSecondOpinion(
    { other },
    () => slower * performance.now(),
    (line) => lines.push(line),
  );
  await hear(async (each) => {
    // Each as one that the other engine is asked about.
    await opinion.on({ ...each, confidence: 0.8 }, ruleset);
    if (lines.length === 0) before += 1;
  });
  await Promise.all([first.close(), other.close(), host.close()]);
  return { sound: samplesToMs(sound.length), took, heard, loaded, lines, before };
}
