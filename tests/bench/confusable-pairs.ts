import { samples } from '../../src/grammar/samples.ts';
import { loadGrammar } from '../support/grammar.ts';
import { phoneDistance, phonesOf } from './close-phrases.ts';
import { rulesOfStep } from './hearing-check.ts';

const grammar = loadGrammar();

export interface Pair<T> {
  readonly said: Sounding<T>;
  readonly heard: Sounding<T>;
  readonly distance: number;
}

interface Sounding<T> {
  readonly text: string;
  readonly phones: readonly string[];
  readonly of: T;
}

/** Pairs of different meaning within so many phones, the closest first; of each two meanings the closest wording. */
export function pairs<T>(all: readonly Sounding<T>[], most: number, key: (of: T) => string): readonly Pair<T>[] {
  const found = new Map<string, Pair<T>>();
  for (const [at, said] of all.entries()) {
    for (const heard of all.slice(at + 1)) {
      if (key(said.of) === key(heard.of) || Math.abs(said.phones.length - heard.phones.length) > most) continue;
      const distance = phoneDistance(said.phones, heard.phones);
      const both = `${key(said.of)} ${key(heard.of)}`;
      if (distance <= most && distance < (found.get(both)?.distance ?? Infinity))
        found.set(both, { said, heard, distance });
    }
  }
  return [...found.values()].toSorted((one, other) => one.distance - other.distance);
}

/** Wordings of two cues of a step, or of a cue and its denial, within so many phones. */
export async function closeCues(step: string, most: number): Promise<readonly Pair<string>[]> {
  const listened = rulesOfStep(step).filter((rule) => rule.includes('-'));
  const spoken = listened.flatMap((rule) =>
    [...samples(grammar, { rules: [rule], unit: 'psi' }, 1)].map(({ text }) => ({ text, of: rule })),
  );
  const phones = await phonesOf([...new Set(spoken.flatMap(({ text }) => text.split(' ')))]);
  return pairs(
    spoken.map((each) => ({ ...each, phones: phones(each.text) })),
    most,
    String,
  );
}
