import type { Ms } from '../units/time.ts';
import type { Word } from './port.ts';
import { OTHER_SPEECH } from './sentence-end.ts';

/**
 * Another voice is this far below the operator's, in dB, to be speech in the background: a radio, somebody outside. Of 80 readings over the
 * speech of a radio 10 dB below, 41 were heard whole with this and 37 with 5; of 200 other sentences none had a callout in it either way.
 */
const BEHIND_DB = 4;
/** One word alone is more easily a louder word of the other voice. */
const BEHIND_ONE_WORD_DB = 8;
/** Other speech so near in time is compared. */
const NEAR: Ms = 1_200;
/**
 * A word so far below the others of its callout is probably the other voice's, in dB: of 47 callouts heard between a radio's words the six
 * that had one of them ("three", "no") had it 7.8 to 11.3 dB below, the right ones none below 5.5.
 */
const ODD_DB = 7;
/** Sound after the last word in which one that was not heard would stand, in ms. */
const AFTER = { from: 50, to: 400 } as const;

/** A voice before others. */
export interface Foreground {
  /** The words that are left, by their places. */
  readonly places: readonly number[];
  /**
   * Speech was left out that nothing parts from the words, so that it may be the same voice, fainter, that takes them back; or one of the
   * words may belong to it, or one that was not heard may lack.
   */
  readonly isDoubtful: boolean;
}

/**
 * Which words are left when the speech behind those that the rules know is left out before and after them: where somebody speaks into the
 * microphone over a radio, the radio's words would make other speech of the operator's. Nothing is left out where all is about as loud, as it is
 * when one voice said more than a callout, and nothing between two words of a callout. `level`: of the sound between two times in ms, in dB.
 */
export function inForeground(
  words: readonly Word[],
  isKnown: (word: string) => boolean,
  level: (from: Ms, to: Ms) => number,
): Foreground {
  const known = words.map(({ text }) => isKnown(text));
  const all = { places: words.map((_, at) => at), isDoubtful: false };
  if (!known.includes(true) || !known.includes(false)) return all;
  const levels = words.map(({ start, end }) => level(start, end));
  const runs = runsOf(known);
  const [first, last] = [runs[0], runs.at(-1)];
  // A radio may say a callout as well: it keeps the words around it, and all the others theirs.
  if (first === undefined || last === undefined || !runs.every((run) => isClear(run, words, known, levels))) return all;
  const voice = Math.min(...runs.map((run) => median(levels.slice(run.from, run.to))));
  const isLeft = (at: number): boolean => (at >= first.from && at < last.to) || (levels[at] ?? 0) > voice - BEHIND_DB;
  const places = all.places.filter(isLeft);
  const [begin, end] = [words[first.from]?.start ?? 0, words[last.to - 1]?.end ?? 0];
  const isNextTo = words.some(
    (word, at) => !places.includes(at) && word.start - end < OTHER_SPEECH && begin - word.end < OTHER_SPEECH,
  );
  const goesOn = level(end + AFTER.from, end + AFTER.to) > voice - ODD_DB;
  const isOdd = levels.slice(first.from, last.to).some((each) => each < voice - ODD_DB);
  return { places, isDoubtful: isNextTo || goesOn || isOdd };
}

interface Run {
  readonly from: number;
  readonly to: number;
}

/** Words in a row that the rules know. */
function runsOf(known: readonly boolean[]): readonly Run[] {
  const begins = known.flatMap((each, at) => (each && known[at - 1] !== true ? [at] : []));
  return begins.map((from) => {
    const end = known.indexOf(false, from);
    return { from, to: end < 0 ? known.length : end };
  });
}

/** All other speech near these words stands behind them. */
function isClear(
  { from, to }: Run,
  words: readonly Word[],
  known: readonly boolean[],
  levels: readonly number[],
): boolean {
  const [begin, end] = [words[from]?.start ?? 0, words[to - 1]?.end ?? 0];
  const voice = median(levels.slice(from, to));
  const margin = to - from === 1 ? BEHIND_ONE_WORD_DB : BEHIND_DB;
  return words.every((word, at) => {
    const isNear = word.start - end < NEAR && begin - word.end < NEAR;
    return known[at] === true || !isNear || (levels[at] ?? 0) <= voice - margin;
  });
}

/** From the first to the last of some words that do not stand behind the loudest of them. */
export function loudestOf(levels: readonly number[]): Run {
  const limit = Math.max(...levels) - BEHIND_DB;
  const isLoud = (level: number): boolean => level > limit;
  return { from: levels.findIndex(isLoud), to: levels.findLastIndex(isLoud) + 1 };
}

function median(levels: readonly number[]): number {
  return levels.toSorted((a, b) => a - b)[Math.floor(levels.length / 2)] ?? -Infinity;
}
