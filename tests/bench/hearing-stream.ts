import { speechEdges } from '../../src/cli/operator/operator-sound.ts';
import type { Heard, Recogniser } from '../../src/hearing/port.ts';
import { createSecondOpinion } from '../../src/hearing/second-opinion.ts';
import { createSegmenter } from '../../src/hearing/segmenter.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs, type Ms } from '../../src/units/time.ts';
import { noiseSource, rms } from '../unit/hearing/signals.ts';
import type { HeardLine, Line } from './hearing-lines.ts';
import { noise, type Noise } from './hearing-noises.ts';
import type { Batch, SetName } from './hearing-sets.ts';

/** Cab before the first words, for the noise floor, and between one thing said and the next, in ms. */
const BEFORE: Ms = 2_500;
const BETWEEN: Ms = 1_900;
/** Level of the speech and of a quiet cab, in dB of full scale. */
const SPEECH_DB = -22;
const QUIET_DB = -55;
/** Sound handed over at once, as a microphone does. */
const STEP = msToSamples(20);

export interface Cell {
  readonly set: SetName;
  readonly noise: Noise | 'quiet';
  readonly db: number | null;
  readonly seed: number;
}

export interface Ears {
  readonly first: Recogniser;
  /** Gives a second opinion as in a check. */
  readonly second?: Recogniser;
  /** The second hears also what a check would not have asked it. */
  readonly always: boolean;
}

export interface Cost {
  /** Ms of processor time of each ear, and of sound. */
  first: number;
  second: number;
  sound: number;
}

/** Where something was said in a track, in ms. */
interface Place {
  readonly onset: Ms;
  readonly end: Ms;
}

/** One batch in one track of sound, heard as a check hears it: as a stream, by the ear's own segmenter, with the second opinion. */
export async function hearBatch(
  cell: Cell,
  { ruleset, said }: Batch,
  ears: Ears,
  cost: Cost,
): Promise<readonly Line[]> {
  const { track, places } = await trackOf(
    cell,
    said.map(({ sound }) => sound),
  );
  const heard: HeardLine[] = [];
  let fed = 0;
  let inSecond = 0;
  const opinion = createSecondOpinion(
    { ...(ears.first.listen === undefined ? {} : { same: ears.first }), ...(ears.second && { other: ears.second }) },
    () => 0,
    tell,
  );
  const segmenter = createSegmenter(
    ears.first,
    { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: true },
    {
      started: () => undefined,
      async heard(each) {
        const began = processorMs();
        const weighed = await opinion.on(each, ruleset);
        const more =
          weighed.second?.engine !== ears.second?.id && ears.always && ears.second !== undefined && each.text !== ''
            ? await hearAlso(ears.second, each)
            : undefined;
        inSecond += processorMs() - began;
        heard.push(lineOf(weighed, more, samplesToMs(fed)));
      },
      clock: () => Promise.resolve(),
      refused: tell,
    },
  );
  if (ears.second !== undefined) await ears.second.setGrammar(ruleset);
  segmenter.listenFor(ruleset);
  const began = processorMs();
  for (let from = 0; from < track.length; from += STEP) {
    fed = Math.min(track.length, from + STEP);
    await segmenter.push(track.subarray(from, fed), SAMPLE_RATE);
  }
  await segmenter.flush();
  cost.second += inSecond;
  cost.first += processorMs() - began - inSecond;
  cost.sound += samplesToMs(track.length);
  return said.map(({ id, voice, text }, at) => {
    const { onset, end } = places[at] ?? { onset: 0, end: 0 };
    return {
      ...{ ear: ears.first.id, ...cell, id, voice, said: text ?? null, rules: ruleset.rules, length: end - onset },
      heard: heard.filter((each) => nearest(places, each) === at).map((each) => since(each, onset)),
    };
  });
}

function tell(line: string): void {
  console.log(`  ${line}`);
}

function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

async function hearAlso(second: Recogniser, { clip }: Heard): Promise<Pick<Heard, 'text' | 'confidence'>> {
  return second.recognise(clip, 0);
}

function lineOf(heard: Heard, more: Pick<Heard, 'text' | 'confidence'> | undefined, told: Ms): HeardLine {
  const { start, end, text, rejected, confidence, words, second, agreed } = heard;
  const other =
    second === undefined
      ? more && { text: more.text, confidence: more.confidence, asked: false }
      : {
          text: second.heard,
          confidence: second.confidence,
          engine: second.engine,
          asked: true,
          ...(agreed === undefined ? {} : { agreed }),
        };
  return {
    ...{ start, end, told, text, rejected, confidence },
    words: words.map((word) => [word.text, word.end - word.start, rounded(word.confidence)]),
    ...(other === undefined ? {} : { second: other }),
  };
}

function rounded(confidence: number): number {
  return Math.round(confidence * 1e4) / 1e4;
}

/** Which of the things said an utterance belongs to: the one with most of it, or else the nearest. */
function nearest(places: readonly Place[], { start, end }: HeardLine): number {
  const distance = ({ onset, end: to }: Place): number => Math.max(onset, start) - Math.min(to, end);
  return places.reduce((best, place, at) => (distance(place) < distance(places[best] ?? place) ? at : best), 0);
}

function since(heard: HeardLine, onset: Ms): HeardLine {
  return { ...heard, start: heard.start - onset, end: heard.end - onset, told: heard.told - onset };
}

/** Each sound at the level of speech by its own RMS, in one cab. */
async function trackOf(cell: Cell, sounds: readonly Float32Array[]) {
  const places: Place[] = [];
  const from: number[] = [];
  let length = msToSamples(BEFORE);
  for (const sound of sounds) {
    const { onset, end } = speechEdges(sound, SAMPLE_RATE);
    from.push(length);
    places.push({ onset: samplesToMs(length) + onset, end: samplesToMs(length) + end });
    length += sound.length + msToSamples(BETWEEN);
  }
  // Other noise each time, so that seeds add up.
  const seed = 1 + 1_000 * cell.seed + (sounds[0]?.length ?? 0);
  const random = noiseSource(seed + 1);
  const floor = Math.sqrt(3) * 10 ** (QUIET_DB / 20);
  const track = Float32Array.from({ length }, () => floor * random());
  if (cell.noise !== 'quiet' && cell.db !== null) {
    const loud = await noise(cell.noise, length, seed);
    const gain = 10 ** ((SPEECH_DB - cell.db) / 20) / rms(loud);
    for (let n = 0; n < length; n += 1) track[n] = (track[n] ?? 0) + gain * (loud[n] ?? 0);
  }
  for (const [at, sound] of sounds.entries()) {
    const gain = 10 ** (SPEECH_DB / 20) / rms(sound);
    for (const [n, sample] of sound.entries())
      track[(from[at] ?? 0) + n] = (track[(from[at] ?? 0) + n] ?? 0) + gain * sample;
  }
  return { track: track.map((x) => Math.max(-1, Math.min(1, x))), places };
}
