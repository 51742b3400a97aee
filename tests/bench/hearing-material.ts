import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createResampler } from '../../src/hearing/resampler.ts';
import { readWav } from '../../src/hearing/wav.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';
import { joined, noiseSource, silence } from '../unit/hearing/signals.ts';
import { speak } from '../unit/hearing/voice.ts';

/** One thing said, and what should be heard; undefined when it is not for us. */
export interface Said {
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

export function words(list: readonly string[]): Said[] {
  return list.flatMap((word) => clips(word).map((sound) => ({ text: word, sound })));
}

export function unrelatedWords(): Said[] {
  return words(UNRELATED).map(({ sound }) => ({ text: undefined, sound }));
}

/** Strings of three digits, glued from single ones with 60 ms between: the nth recording of each word is rarely the same speaker. */
export function gluedDigits(count: number, source: 'speech-commands' | 'fsdd'): Said[] {
  const pick = picker(11);
  const speakers = ['george', 'jackson', 'lucas'];
  return Array.from({ length: count }, () => {
    const speaker = speakers[pick(speakers.length)] ?? '';
    const digits = [1, pick(6), pick(10)];
    const sounds = digits.map((digit) => {
      const all = source === 'fsdd' ? fsdd(digit, speaker) : clips(DIGITS[digit] ?? '').map(trimmedToSound);
      return all[pick(all.length)] ?? silence(0);
    });
    return {
      text: digits.map((digit) => DIGITS[digit]).join(' '),
      sound: joined(...sounds.flatMap((sound) => [sound, silence(60)])),
    };
  });
}

const VOICES = ['slt', 'rms', 'awb', 'kal16'] as const;
const SENTENCES = [
  'dispatch this is medic seven we are on scene at the school',
  'can you grab me a coffee on the way back',
  'did you see the game last night it was amazing',
  'the hose needs to be rolled up before we leave',
  'where did you put the keys',
  'I think it is going to rain this afternoon',
  'tell the captain we need more water',
  'they were talking about the new budget',
  'open the bay door please',
  'medic two en route to the hospital',
  'what time is dinner',
  'put it over by the ladder',
];

/**
 * Both needles of an air system between 50 and 135 psi, at most 6 psi apart, in the orders that operators use; each value as `form`
 * says it. Every fourth is of the same voice.
 */
export async function syntheticReadings(count: number, form: (psi: number) => string): Promise<Said[]> {
  const pick = picker(5);
  const said: Said[] = [];
  for (let n = 0; n < count; n += 1) {
    const primary = 50 + pick(86);
    const [one, other] = [form(primary), form(primary + pick(13) - 6)];
    const texts = [
      `primary ${one} secondary ${other}`,
      `primary ${one} secondary ${other}`,
      `secondary ${other} primary ${one}`,
      `primary ${one} and secondary ${other}`,
    ];
    const text = texts[pick(texts.length)] ?? '';
    said.push({ text, sound: await speak(text, VOICES[n % VOICES.length] ?? 'slt') });
  }
  return said;
}

/** "one zero five", "nine five". */
export function digitByDigit(psi: number): string {
  return String(psi)
    .replace(/\d/g, (digit) => ` ${DIGITS[Number(digit)] ?? ''}`)
    .trim();
}

const TENS = ['', '', 'twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'];
const TEENS = 'ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');

/** "ninety five", "one oh five", "one eighteen", "one hundred". */
export function asCardinal(psi: number): string {
  if (psi === 100) return 'one hundred';
  if (psi > 100) return psi < 110 ? `one oh ${DIGITS[psi - 100] ?? ''}` : `one ${asCardinal(psi - 100)}`;
  if (psi < 20) return TEENS[psi - 10] ?? '';
  const ones = psi % 10 === 0 ? '' : ` ${DIGITS[psi % 10] ?? ''}`;
  return `${TENS[Math.floor(psi / 10)] ?? ''}${ones}`;
}

export async function unrelatedSentences(): Promise<Said[]> {
  const said: Said[] = [];
  for (const text of SENTENCES) {
    for (const voice of VOICES) said.push({ text: undefined, sound: await speak(text, voice) });
  }
  return said;
}

/** Whole numbers from 0 up to, not including, what it is given; the same for the same seed. */
export function picker(seed: number): (below: number) => number {
  const random = noiseSource(seed);
  return (below) => Math.floor(((random() + 1) / 2) * below);
}

function clips(word: string): Float32Array[] {
  const folder = join(DATA, 'speech-commands', word);
  return readdirSync(folder)
    .filter((name) => name.endsWith('.wav'))
    .sort()
    .map((name) => recording(join(folder, name)));
}

function fsdd(digit: number, speaker: string): Float32Array[] {
  return [0, 1, 2, 3, 4].map((take) => recording(join(DATA, 'fsdd', `${digit}_${speaker}_${take}.wav`)));
}

function recording(path: string): Float32Array {
  const read = readWav(readFileSync(path), path);
  if (!read.ok) throw new Error(`${path}: ${read.problem.what}`);
  const resampler = createResampler(read.value.rate);
  return joined(resampler.push(read.value.samples), resampler.flush());
}

/** From 40 ms before the first loud frame to 60 ms after the last: within 25 dB of the loudest. */
function trimmedToSound(sound: Float32Array): Float32Array {
  const hop = SAMPLE_RATE / 100;
  const energies = Array.from({ length: Math.floor(sound.length / hop) }, (_, frame) =>
    sound.subarray(frame * hop, (frame + 1) * hop).reduce((sum, x) => sum + x * x, 0),
  );
  const threshold = Math.max(...energies) * 10 ** -2.5;
  const first = energies.findIndex((energy) => energy > threshold);
  const last = energies.findLastIndex((energy) => energy > threshold);
  return sound.slice(Math.max(0, first - 4) * hop, (last + 7) * hop);
}
