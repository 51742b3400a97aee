import { openRecogniser } from '../../src/cli/hear/open-recogniser.ts';
import { languageOf } from '../../src/running/language.ts';
import { levelOf } from '../../src/hearing/sound-check/figures.ts';
import { CutOffCount } from '../../src/hearing/sound-check/cut-off.ts';
import { problemLine } from '../../src/units/outcome.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';
import { loadGrammar } from '../support/grammar.ts';
import { speak } from '../unit/hearing/voice.ts';

/**
 * `npm run bench -- sound-check`: readings by two synthetic voices, cut exactly, heard by our own ear alone in quiet: at lower and lower
 * levels of speech in 16 bits, and cut off more and more at full scale. The limits of the sound check come from here.
 */
const RULES = ['readings'];
const VOICES = ['rms', 'awb'] as const;
const TEXTS = [
  'primary one two zero, secondary one one eight',
  'primary one oh five, secondary ninety eight',
  'both at eighty five',
  'primary sixty one, secondary fifty nine',
  'secondary one one five, primary one one seven',
  'primary one hundred, secondary ninety nine',
  'primary one twenty four, secondary one thirteen',
];
const LEVELS_DB = [-50, -55, -60, -65, -70];
/** How far the peak would stand above full scale. */
const OVER_DB = [-1, 2, 4, 6, 9, 12, 18];
const AROUND_MS = 400;

const language = languageOf(loadGrammar());
const opened = await openRecogniser({ engine: 'vosk' }, () => undefined);
if (!opened.ok) throw new Error(problemLine(opened.problem));
const ear = opened.value;
await ear.setGrammar(language.ruleset(RULES, 'psi'));
const clips = await Promise.all(
  VOICES.flatMap((voice) => TEXTS.map(async (text) => ({ text, samples: await speak(text, voice) }))),
);

for (const db of LEVELS_DB) await tell(`speech at ${db} dB of full scale`, (clip) => db - levelOf(clip));
for (const over of OVER_DB) await tell(`peak ${over} dB over full scale`, (clip) => over - peakOf(clip));
await ear.close();

/** `gain` in dB. */
async function tell(name: string, gain: (clip: Float32Array) => number): Promise<void> {
  let right = 0;
  let cut = 0;
  for (const { text, samples } of clips) {
    const factor = 10 ** (gain(samples) / 20);

    const placed = new Float32Array(samples.length + 2 * ((AROUND_MS * SAMPLE_RATE) / 1000));
    placed.set(samples, (AROUND_MS * SAMPLE_RATE) / 1000);
    const sound = placed.map(
      (sample) => Math.max(-32_768, Math.min(32_767, Math.round(sample * factor * 32_768))) / 32_768,
    );
    const count = new CutOffCount();
    count.push(sound);
    cut += count.share / clips.length;
    const heard = await ear.recognise(sound, 0);
    if (readingOf(heard.text) === readingOf(text)) right += 1;
  }
  console.log(`${name}: ${right} of ${clips.length} right, ${(100 * cut).toFixed(1)} % cut off`);
}

function readingOf(text: string): string | undefined {
  const reading = text === '' ? undefined : language.parse(RULES, text, 'psi')?.reading;
  return reading === undefined ? undefined : `${reading.primary?.value} ${reading.secondary?.value}`;
}

function peakOf(clip: Float32Array): number {
  return 20 * Math.log10(clip.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0));
}
