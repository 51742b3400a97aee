import { reduceDictionary } from '../../src/cli/assets/assets-model.ts';
import { cmuDictionary } from '../../src/cli/assets/published-model.ts';
import { PRONUNCIATIONS } from '../../src/grammar/pronunciations.ts';
import { problemLine } from '../../src/units/outcome.ts';

/** Phones of the CMU dictionary that are told apart by little: vowels among each other, and consonants made in the same manner. */
const MANNERS = [
  'AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW',
  'P B T D K G',
  'F V TH DH S Z SH ZH HH CH JH',
  'M N NG',
  'L R W Y',
].map((phones) => new Set(phones.split(' ')));

/** How the words sound, by the commonest pronunciation of each. */
export async function phonesOf(words: readonly string[]): Promise<(text: string) => readonly string[]> {
  const whole = await cmuDictionary();
  if (!whole.ok) throw new Error(problemLine(whole.problem));
  const reduced = reduceDictionary(whole.value, { words, pronunciations: PRONUNCIATIONS });
  if (!reduced.ok) throw new Error(problemLine(reduced.problem));
  const known = new Map<string, readonly string[]>();
  for (const line of reduced.value.split('\n')) {
    const [word = '', ...phones] = line.trim().split(/\s+/);
    if (!known.has(word)) known.set(word, phones);
  }
  return (text) => text.split(' ').flatMap((word) => known.get(word) ?? [word]);
}

/** How many phones must change to make one of the other; a like phone counts half. Weights are ours, no source. */
export function phoneDistance(one: readonly string[], other: readonly string[]): number {
  let row = other.map((_, at) => at + 1);
  for (const [at, phone] of one.entries()) {
    const next: number[] = [];
    for (const [to, against] of other.entries()) {
      const diagonal = to === 0 ? at : (row[to - 1] ?? 0);
      const left = to === 0 ? at + 1 : (next[to - 1] ?? 0);
      next.push(Math.min(diagonal + substitution(phone, against), (row[to] ?? 0) + 1, left + 1));
    }
    row = next;
  }
  return row.at(-1) ?? one.length;
}

function substitution(one: string, other: string): number {
  if (one === other) return 0;
  return MANNERS.some((like) => like.has(one) && like.has(other)) ? 0.5 : 1;
}

/** Something bad that is said of an item, and the phrase of the place that passes one and sounds most like it. */
export interface ClosePair<P> {
  readonly bad: P;
  readonly good: P;
  readonly distance: number;
}

/** For each bad phrase the good one that sounds most like it, the closest first. */
export function closePairs<P extends { readonly text: string }>(
  bad: readonly P[],
  good: readonly P[],
  phones: (text: string) => readonly string[],
): readonly ClosePair<P>[] {
  const sounds = good.map((phrase) => ({ phrase, phones: phones(phrase.text) }));
  return bad
    .flatMap((phrase) => {
      const own = phones(phrase.text);
      const pairs = sounds.map((each) => ({
        bad: phrase,
        good: each.phrase,
        distance: phoneDistance(own, each.phones),
      }));
      return pairs.toSorted((a, b) => a.distance - b.distance).slice(0, 1);
    })
    .toSorted((a, b) => a.distance - b.distance);
}
