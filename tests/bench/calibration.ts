import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { isLowConfidence } from '../../src/check/doubt.ts';
import type { SpokenReading } from '../../src/grammar/meaning.ts';
import { phonesOf } from './close-phrases.ts';
import { keptLines, type HeardLine, type Line } from './hearing-lines.ts';
import { KIND, language } from './hearing-sets.ts';
import { withInterval } from './interval.ts';
import { fit, predict, type Case, type Weights } from './logistic.ts';

/**
 * `npm run bench -- calibration`: from what the bench `hearing --always` has kept, one number out of what both ears tell: weights of a logistic
 * regression, its reliability on voices and noises that it was not made from, and what it would take wrongly and ask beside what is in use.
 */
const { values: options } = parseArgs({
  options: {
    keep: { type: 'string', default: fileURLToPath(new URL('../../reports/hearing.jsonl', import.meta.url)) },
  },
});

const FEATURES = [
  'least confidence (logit)',
  'mean confidence (logit)',
  'words (log)',
  'second ear silent',
  'second ear agrees, share of words',
  'second ear agrees in all',
  'second ear’s confidence',
  'shortest word against its phones (log)',
  'longest word against its phones (log)',
] as const;

interface Sample extends Case {
  readonly line: Line;
  readonly heard: HeardLine;
}

/** Length of a word of so many phones, in ms: by eye on what the bench heard, no source. */
const MS_A_PHONE = 85;
const MS_A_WORD = 40;

const phones = await phonesOf([...new Set(keptLines([options.keep]).flatMap(wordsOf))]);

function wordsOf({ heard }: Line): string[] {
  return heard.flatMap(({ words }) => words.map(([word]) => word)).filter((word) => /^[a-z]+$/.test(word));
}

function logit(chance: number): number {
  const inside = Math.min(0.9999, Math.max(0.0001, chance));
  return Math.log(inside / (1 - inside));
}

function featuresOf({ words, confidence, second }: HeardLine): readonly number[] {
  const mean = words.reduce((sum, [, , of]) => sum + of, 0) / Math.max(1, words.length);
  const ratios = words.map(([word, ms]) => Math.log(Math.max(30, ms) / (MS_A_WORD + MS_A_PHONE * phones(word).length)));
  const other = plain(second?.text ?? '');
  const own = plain(words.map(([word]) => word).join(' '));
  const share = other.length === 0 ? 0 : 1 - wordDistance(own, other) / Math.max(own.length, other.length);
  return [
    logit(confidence),
    logit(mean),
    Math.log(Math.max(1, words.length)),
    other.length === 0 ? 1 : 0,
    share,
    share === 1 ? 1 : 0,
    other.length === 0 ? 0 : (second?.confidence ?? 0),
    Math.min(...ratios),
    Math.max(...ratios),
  ];
}

/** Words that tell, each in one spelling. */
function plain(text: string): readonly string[] {
  const same: Readonly<Record<string, string>> = { oh: 'zero', niner: 'nine' };
  return text
    .split(' ')
    .filter((word) => !['', 'and', 'at', 'is', 'are', 'has', 'have', 'p_s_i', 'psi', 'pounds'].includes(word))
    .map((word) => same[word] ?? word);
}

function wordDistance(one: readonly string[], other: readonly string[]): number {
  let row = [0, ...other.map((_, at) => at + 1)];
  for (const [at, word] of one.entries()) {
    const next = [at + 1];
    for (const [to, against] of other.entries()) {
      const same = word === against ? 0 : 1;
      next.push(Math.min((row[to] ?? 0) + same, (row[to + 1] ?? 0) + 1, (next[to] ?? 0) + 1));
    }
    row = next;
  }
  return row.at(-1) ?? 0;
}

/** What was heard is what was said, as far as it goes; undefined where it means nothing. */
function isRight({ set, rules, said }: Line, { text }: HeardLine): boolean | undefined {
  if (KIND[set] === 'words') return text === said;
  const meaning = language.parse(rules, text, 'psi');
  if (meaning?.reading === undefined) return undefined;
  const truth: SpokenReading = language.parse(rules, said ?? '', 'psi')?.reading ?? {};
  const { primary, secondary } = meaning.reading;
  const alike = (one: typeof primary, other: typeof primary): boolean =>
    one === undefined || one.value === other?.value;
  return meaning.cues.length === 0 && alike(primary, truth.primary) && alike(secondary, truth.secondary);
}

function samplesOf(lines: readonly Line[]): readonly Sample[] {
  return lines
    .filter(({ ear, set, said }) => ear === 'vosk' && said !== null && (set === 'readings' || set === 'digits'))
    .flatMap((line) =>
      line.heard.flatMap((heard): Sample[] => {
        const is = heard.text === '' || heard.second === undefined ? undefined : isRight(line, heard);
        return is === undefined ? [] : [{ line, heard, is, features: featuresOf(heard) }];
      }),
    );
}

/** As a check takes it now. */
function isTakenNow({ heard: { confidence, second, text } }: Sample): boolean {
  const agreed = second?.asked === true ? second.agreed : undefined;
  return !isLowConfidence({
    ...{ type: 'callout', at: 0, end: 0, heard: text, source: 'voice', engine: 'vosk', confidence },
    ...(agreed === undefined ? {} : { agreed }),
  });
}

/** Of this a check asks no second opinion. */
const SURE = 0.95;

const BINS = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1] as const;

function tellReliability(title: string, samples: readonly Sample[], chanceOf: (sample: Sample) => number): void {
  const brier = samples.reduce((sum, each) => sum + (chanceOf(each) - (each.is ? 1 : 0)) ** 2, 0) / samples.length;
  console.log(
    `\n${title}: Brier score ${brier.toFixed(4)} of ${samples.length}\n\n| told | of | mean | right |\n|---|---|---|---|`,
  );
  for (const [at, from] of BINS.slice(0, -1).entries()) {
    const to = BINS[at + 1] ?? 1;
    const inside = samples.filter((each) => chanceOf(each) >= from && (chanceOf(each) < to || to === 1));
    if (inside.length === 0) continue;
    const mean = inside.reduce((sum, each) => sum + chanceOf(each), 0) / inside.length;
    const right = inside.filter(({ is }) => is).length;
    console.log(`| ${from}–${to} | ${inside.length} | ${mean.toFixed(3)} | ${withInterval(right, inside.length)} |`);
  }
}

function tellRule(title: string, samples: readonly Sample[], isTaken: (sample: Sample) => boolean): void {
  const taken = samples.filter(isTaken);
  const wrong = taken.filter(({ is }) => !is).length;
  const asked = samples.length - taken.length;
  console.log(`| ${title} | ${withInterval(wrong, samples.length)} | ${withInterval(asked, samples.length)} |`);
}

/** Weights, and the least chance at which they ask no more than is asked now, of what they are made from. */
interface Made {
  readonly weights: Weights;
  readonly point: number;
}

/** What the chance of a sample is told by: made from other voices in other noises only. */
function madeWithout({ line: { voice, noise } }: Sample, all: readonly Sample[]): Made | undefined {
  const others = all.filter(({ line }) => line.voice !== voice && line.noise !== noise);
  if (others.every(({ is }) => is)) return undefined;
  const weights = fit(others);
  const asked = others.filter((each) => !isTakenNow(each)).length;
  const chances = others.map(({ features }) => predict(weights, features)).toSorted((a, b) => a - b);
  return { weights, point: chances[asked] ?? 0 };
}

const all = samplesOf(keptLines([options.keep]));
const made = new Map<string, Made | undefined>();
const madeFor = (sample: Sample): Made | undefined => {
  const key = `${sample.line.voice} ${sample.line.noise}`;
  if (!made.has(key)) made.set(key, madeWithout(sample, all));
  return made.get(key);
};
const tried = all.filter((sample) => madeFor(sample) !== undefined);
const chanceOf = (sample: Sample): number => predict(madeFor(sample)?.weights ?? [], sample.features);
const wrong = (samples: readonly Sample[]): number => samples.filter(({ is }) => !is).length;
console.log(`${all.length} utterances with numbers, ${wrong(all)} of them wrong`);
console.log(`${tried.length}, ${wrong(tried)} of them wrong, each told by weights from other voices in other noises`);
if (tried.length > 0) {
  const weights = fit(all);
  console.log(`\nof all: constant ${(weights[0] ?? 0).toFixed(3)}`);
  for (const [at, name] of FEATURES.entries()) console.log(`${name}: ${(weights[at + 1] ?? 0).toFixed(3)}`);
  tellReliability('Our own ear’s confidence, as it is', tried, ({ heard }) => heard.confidence);
  tellReliability('Calibrated', tried, chanceOf);
  console.log('\n| rule | wrong but taken | asked |\n|---|---|---|');
  tellRule('in use', tried, isTakenNow);
  tellRule('calibrated, asking as much', tried, (sample) => chanceOf(sample) >= (madeFor(sample)?.point ?? 1));
  tellRule(
    `sure to ${SURE}, or both say it`,
    tried,
    ({ heard, features }) => heard.confidence >= SURE || features[5] === 1,
  );
  tellRule('only what both say', tried, ({ features }) => features[5] === 1);
}
