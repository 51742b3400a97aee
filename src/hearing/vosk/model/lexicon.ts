import { bad, good, type Outcome } from '../../../units/outcome.ts';
import spokenForms from './spoken-forms.json' with { type: 'json' };

/** Words and how they may be said: phones without stress ("B AH Z ER" as `['B', 'AH', 'Z', 'ER']`), the commonest way first. */
export type Lexicon = ReadonlyMap<string, readonly (readonly string[])[]>;

/** More ways would make the graph slower and short words easier to mix up; it is also what the model was trained with. */
const MOST_WAYS = 3;

/**
 * The pronunciations of `words` for our own model: those of `ours`, else as it was trained with them (`spoken-forms.json`: weak and
 * American forms), else from the CMU dictionary `dictionary`. A word that none of them has is a problem that names it.
 */
export function lexiconOf(
  words: Iterable<string>,
  dictionary: string,
  ours: Readonly<Record<string, readonly string[]>>,
): Outcome<Lexicon> {
  const wanted = [...new Set(words)].sort();
  const known = waysIn(dictionary, new Set(wanted));
  for (const forms of [spokenForms, ours] as Readonly<Record<string, readonly string[]>>[]) {
    for (const [word, ways] of Object.entries(forms)) known.set(word, ways);
  }
  const lost = wanted.filter((word) => !known.has(word));
  if (lost.length > 0) {
    return bad(
      `There is no pronunciation for: ${lost.join(', ')}.`,
      'the graph of the acoustic model',
      'Add each to grammars/pronunciations.json, in the phones of the CMU dictionary.',
    );
  }
  return good(
    new Map(wanted.map((word) => [word, (known.get(word) ?? []).slice(0, MOST_WAYS).map((way) => way.split(' '))])),
  );
}

/** The lines of a CMU dictionary (`word PH ON ES`, `word(2) …`) for some words. */
function waysIn(dictionary: string, wanted: ReadonlySet<string>): Map<string, readonly string[]> {
  const found = new Map<string, readonly string[]>();
  for (const line of dictionary.split('\n')) {
    const [first = '', ...phones] = line.trim().split(/\s+/);
    const word = first.replace(/\(\d+\)$/, '');
    if (wanted.has(word)) found.set(word, [...(found.get(word) ?? []), phones.join(' ')]);
  }
  return found;
}
