import type { ItemPlace } from './item.ts';

/**
 * The words of a plan's items that an ear's dictionary (`word PH ON ES` or `word(2) …` a line) lacks, sorted. An ear refuses all that is said
 * at a place with such a word in it.
 */
export function unheardWords(places: readonly ItemPlace[], dictionary: string): readonly string[] {
  const known = new Set(dictionary.split('\n').map((line) => /^[^\s(]+/.exec(line)?.[0]));
  const phrases = places.flatMap(({ names, items, groups = [] }) => [
    ...names,
    ...groups.flatMap((group) => [...group.names, ...group.words]),
    ...items.flatMap((item) => [
      ...item.names,
      ...item.good,
      ...item.bad.flatMap(({ words }) => words),
      ...(item.measure?.said ?? []),
      ...(item.single ?? []),
    ]),
  ]);
  const words = phrases.flatMap((phrase) => phrase.split(' '));
  return [...new Set(words)].filter((word) => !known.has(word)).toSorted();
}

/** What to do about them, in one line; empty when there are none. */
export function unheardLine(title: string, words: readonly string[]): string {
  if (words.length === 0) return '';
  const named = words.map((word) => `“${word}”`).join(', ');
  return `${title}: no built-in ear knows how ${named} sounds, so nothing is heard at its place: it goes by touch. Use other words, or have a pronunciation added for the next build.`;
}
