import type { Whose } from '../hearing/own-voice/own-voice.ts';

/** Who said what was heard while the tool spoke: it, the operator, or nobody knows. */
type Speaker = 'operator' | 'own' | 'unclear';

/** Of the time of the words so much has to be somebody's. */
const MOST = 0.5;
const SOME = 0.2;

/**
 * Whose words these are. `parts` is what the sound tells of the time they took, as parts that make 1; undefined for sound in which the tool
 * is not heard. `said` are the texts that the tool spoke then: where the sound does not tell, words that repeat them are its own, and others
 * are not clear.
 */
export function whoSaid(
  words: string,
  parts: Readonly<Record<Whose, number>> | undefined,
  said: readonly string[],
): Speaker {
  if (parts === undefined) return 'operator';
  if (parts.own >= MOST) return 'own';
  if (parts.unknown < SOME) return 'operator';
  return said.some((text) => isWithin(inWords(words), inWords(text))) ? 'own' : 'unclear';
}

function inWords(text: string): readonly string[] {
  return text
    .toLowerCase()
    .replaceAll(/[^a-z]+/g, ' ')
    .trim()
    .split(' ');
}

/** True when every word is in the text, in this order. */
function isWithin(words: readonly string[], text: readonly string[]): boolean {
  let from = 0;
  for (const word of words) {
    const at = text.indexOf(word, from);
    if (at < 0) return false;
    from = at + 1;
  }
  return true;
}
