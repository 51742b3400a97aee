import type { Whose } from '../hearing/own-voice/own-voice.ts';

/** Who said what was heard while the tool spoke: it, the operator, or nobody knows. */
type Speaker = 'operator' | 'own' | 'unclear';

/** Of the time of the words so much has to be somebody's. */
const MOST = 0.5;
const SOME = 0.2;

/**
 * Whose words these are. `parts` is what the sound tells of the time they took, as parts that make 1; undefined for sound in which the tool
 * is not heard. `said` are the texts that the tool spoke then, and `before` in the seconds before. Where it may be in the sound, words that
 * repeat them are its own, and others are not clear. Nor are those in which no voice was made out: an echo too soft to be found may still be
 * heard, “paused” as “pause”.
 */
export function whoSaid(
  words: string,
  parts: Readonly<Record<Whose, number>> | undefined,
  said: readonly string[],
  before: readonly string[] = [],
): Speaker {
  if (parts === undefined || said.length + before.length === 0) return 'operator';
  if (parts.own >= MOST && parts.own > parts.operator) return 'own';
  const heard = inWords(words);
  const repeated = (texts: readonly string[]): number =>
    Math.max(0, ...texts.map((text) => inOrder(heard, inWords(text)))) / heard.length;
  const isVoice = parts.operator + parts.somebody >= MOST;
  if (parts.unknown < SOME) return !isVoice && said.length > 0 ? 'unclear' : 'operator';
  const all = repeated([...said, ...before]);
  if (isVoice && all === 0) return 'operator';
  return all === 1 ? 'own' : 'unclear';
}

function inWords(text: string): readonly string[] {
  return text
    .toLowerCase()
    .replaceAll(/[^a-z]+/g, ' ')
    .trim()
    .split(' ');
}

/** How many of the words are in the text, in this order. */
function inOrder(words: readonly string[], text: readonly string[]): number {
  let before = text.map(() => 0);
  for (const word of words) {
    let diagonal = 0;
    let left = 0;
    before = before.map((above, at) => {
      left = text[at] === word ? diagonal + 1 : Math.max(above, left);
      diagonal = above;
      return left;
    });
  }
  return before.at(-1) ?? 0;
}
