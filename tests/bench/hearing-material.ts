import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createResampler } from '../../src/hearing/resampler.ts';
import { readWav } from '../../src/hearing/wav.ts';
import type { OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { joined, noiseSource } from '../unit/hearing/signals.ts';
import { speak } from '../unit/hearing/voice.ts';

/** One thing said, and what should be heard; undefined when it is not for us. */
export interface Said {
  /** What tells it from all other material: the recording, or voice and words. */
  readonly id: string;
  /** The synthetic voice, or the set of recordings, whose speakers are many. */
  readonly voice: string;
  readonly text: string | undefined;
  readonly sound: Float32Array;
}

/** Recordings of people are not part of the project: where they are, is said by whoever has them. */
const DATA = process.env['TWO_NEEDLES_RECORDINGS'] ?? 'recordings';

export const HOW_TO_GET_THEM =
  'Fetch Speech Commands v0.01 (download.tensorflow.org/data/speech_commands_v0.01.tar.gz) into the folder speech-commands, and the ' +
  'recordings of github.com/Jakobovski/free-spoken-digit-dataset into the folder fsdd, of one folder; name that in TWO_NEEDLES_RECORDINGS.';

export const ATTRIBUTION =
  'Recordings of people: Speech Commands v0.01, P. Warden (CC BY 4.0); Free Spoken Digit Dataset, Z. Jackson and contributors (CC BY-SA 4.0).';

export const DIGITS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'] as const;
export const CUES = ['yes', 'no', 'stop', 'go', 'on', 'off', 'up', 'down', 'left', 'right'] as const;
const UNRELATED = ['bed', 'bird', 'cat', 'dog', 'happy', 'house', 'marvin', 'sheila', 'tree', 'wow'] as const;

export function hasRecordings(): boolean {
  return existsSync(join(DATA, 'speech-commands'));
}

/** Recordings of these words; `text` of all that is not for us is undefined. */
function words(list: readonly string[], isForUs = true): Said[] {
  return list.flatMap((word) =>
    clips(word).map(({ id, sound }) => ({ id, voice: 'speech-commands', text: isForUs ? word : undefined, sound })),
  );
}

export function humanDigits(): Said[] {
  const cropped = DIGITS.flatMap((word, digit) =>
    ['george', 'jackson', 'lucas'].flatMap((speaker) =>
      [0, 1, 2, 3, 4].map((take) => {
        const name = `${digit}_${speaker}_${take}.wav`;
        return { id: `fsdd/${name}`, voice: 'fsdd', text: word, sound: recording(join(DATA, 'fsdd', name)) };
      }),
    ),
  );
  return [...words(DIGITS), ...cropped];
}

export function humanCues(): Said[] {
  return words(CUES);
}

export function otherHumanWords(): Said[] {
  return words(UNRELATED, false);
}

/** Voices that our model was not made with (its card); Flite's others were in its training. */
export const HELD_OUT = ['rms', 'awb'] as const satisfies readonly OperatorVoice[];

/** Where the needles stand in most of a check, and where they come to as the spring brakes come on; psi, the least and one more than the most. */
export const RANGES = { readings: [50, 136], low: [16, 50] } as const;

/** Both needles in this range, at most 6 psi apart, in the orders and forms that operators use, by turns in each voice. */
export async function readings(
  count: number,
  seed: number,
  voices: readonly OperatorVoice[],
  [least, most]: readonly [number, number] = RANGES.readings,
): Promise<Said[]> {
  const pick = picker(seed);
  const said: Said[] = [];
  for (let n = 0; n < count; n += 1) {
    const form = [digitByDigit, asCardinal, asCardinal, inFull][pick(4)] ?? asCardinal;
    const primary = least + pick(most - least);
    const [one, other] = [form(primary), form(primary + pick(13) - 6)];
    const texts = [
      `primary ${one} secondary ${other}`,
      `primary ${one} secondary ${other}`,
      `secondary ${other} primary ${one}`,
      `primary ${one} and secondary ${other}`,
      `both ${one}`,
    ];
    said.push(await spoken(texts[pick(texts.length)] ?? '', voices[n % voices.length] ?? 'rms'));
  }
  return said;
}

export async function spoken(text: string, voice: OperatorVoice): Promise<Said> {
  return { id: `${voice}: ${text}`, voice, text, sound: await speak(text, voice) };
}

/** The ways in which operators say a pressure, from 10 psi. */
export function formsOf(psi: number): readonly string[] {
  const oh = digitByDigit(psi).replace(/ zero\b/, ' oh');
  return [...new Set([digitByDigit(psi), oh, asCardinal(psi), inFull(psi)])];
}

/** "one zero five", "nine five". */
function digitByDigit(psi: number): string {
  return Array.from(String(psi), (digit) => DIGITS[Number(digit)] ?? '').join(' ');
}

const TENS = ['', '', 'twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'];
const TEENS = 'ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');

/** "ninety five", "one oh five", "one eighteen", "one hundred". */
function asCardinal(psi: number): string {
  if (psi === 100) return 'one hundred';
  if (psi > 100) return psi < 110 ? `one oh ${DIGITS[psi - 100] ?? ''}` : `one ${asCardinal(psi - 100)}`;
  if (psi < 20) return TEENS[psi - 10] ?? '';
  const ones = psi % 10 === 0 ? '' : ` ${DIGITS[psi % 10] ?? ''}`;
  return `${TENS[Math.floor(psi / 10)] ?? ''}${ones}`;
}

/** "one hundred and five", "ninety five". */
function inFull(psi: number): string {
  if (psi <= 100) return asCardinal(psi);
  return `one hundred and ${psi < 110 ? DIGITS[psi - 100] : asCardinal(psi - 100)}`;
}

/** Sentences of a station and its radio: who, does what, where; and what else is said in a cab. All invented. */
const WHO = [
  ...['dispatch', 'medic seven', 'engine four', 'the captain', 'battalion two', 'my brother', 'the new crew', 'nobody'],
  ...['tender six', 'command', 'the mechanic', 'that guy', 'our chief', 'she', 'everybody', 'the other shift'],
];
const DOES = [
  ...[
    'is on scene',
    'will be there in ten minutes',
    'wants the hose rolled up',
    'forgot the keys again',
    'asked for coffee',
  ],
  ...[
    'needs more water',
    'is talking about the budget',
    'saw the game last night',
    'left the bay door open',
    'has two patients',
  ],
  ...[
    'is out of service',
    'can you copy',
    'is on the way back',
    'said it was amazing',
    'parked by the ladder',
    'put it away',
  ],
];
const WHERE = [
  ...['at the school', 'on main street', 'behind the station', 'this afternoon', 'before lunch', 'on channel three'],
  ...['at mile marker forty two', 'over by the creek', 'for the third time', 'in the parking lot', 'right now', ''],
];

/** One of some three thousand sentences that are not for us. */
export function otherSentence(pick: (below: number) => number): string {
  return [WHO, DOES, WHERE]
    .map((part) => part[pick(part.length)] ?? '')
    .join(' ')
    .trim();
}

export async function otherSentences(count: number, seed: number, voices: readonly OperatorVoice[]): Promise<Said[]> {
  const pick = picker(seed);
  const said: Said[] = [];
  for (let n = 0; n < count; n += 1) {
    said.push({ ...(await spoken(otherSentence(pick), voices[n % voices.length] ?? 'rms')), text: undefined });
  }
  return said;
}

/** Whole numbers from 0 up to, not including, what it is given; the same for the same seed. */
export function picker(seed: number): (below: number) => number {
  const random = noiseSource(seed);
  return (below) => Math.floor(((random() + 1) / 2) * below);
}

function clips(word: string): { readonly id: string; readonly sound: Float32Array }[] {
  return readdirSync(join(DATA, 'speech-commands', word))
    .filter((name) => name.endsWith('.wav'))
    .sort()
    .map((name) => ({
      id: `speech-commands/${word}/${name}`,
      sound: recording(join(DATA, 'speech-commands', word, name)),
    }));
}

function recording(path: string): Float32Array {
  const read = readWav(readFileSync(path), path);
  if (!read.ok) throw new Error(`${path}: ${read.problem.what}`);
  const resampler = createResampler(read.value.rate);
  return joined(resampler.push(read.value.samples), resampler.flush());
}
