import type { CalloutEvent } from '../../../src/check/event.ts';
import type { Ms } from '../../../src/units/time.ts';
import { calloutOf } from './edges.ts';
import type { Said } from './operator.ts';
import type { TubeRun } from './tube.ts';

/** Callouts of the log in whose time nobody but the tool spoke. */
export function ownWords(run: TubeRun): CalloutEvent[] {
  const offset = run.pages[0]?.offset ?? 0;
  return run.events.filter(
    (event): event is CalloutEvent =>
      event.type === 'callout' &&
      event.source === 'voice' &&
      !run.said.some(({ at, end }) => at < event.end + offset && end > event.at + offset),
  );
}

/** What was said and is not in the log with the same words. */
export function unheard(run: TubeRun): Said[] {
  return run.said.filter((said) => calloutOf(run, said) === undefined);
}

/** From the onset of words over the tool's to when it fell silent, where it had more to say; ms. Tones are over before. */
export function bargeIns({ said, spoken }: TubeRun): Ms[] {
  return spoken.flatMap(({ at, end, words }) => {
    if (words.startsWith('tone:') || words === 'sweep') return [];
    const over = said.find((each) => each.at >= at && each.at < end && each.end > each.at);
    return over === undefined || end === Infinity ? [] : [end - over.at];
  });
}

interface AnswerTime {
  readonly text: string;
  /** Of the words. */
  readonly end: Ms;
  /** From the end of the words to the first sound of the answer to them; and to when they were heard and answered, unsounded. */
  readonly ms: Ms;
  readonly heard: Ms;
}

/** How long the answers took, where nothing else was said before them. */
export function answerTimes({ said, answers, spoken }: TubeRun): AnswerTime[] {
  return said.flatMap(({ text, end }, index) => {
    const next = said[index + 1]?.at ?? Infinity;
    const answer = answers.find(({ at }) => at >= end);
    const sound = spoken.find(({ at }) => answer !== undefined && at >= answer.at - CLOCKS);
    if (answer === undefined || sound === undefined || sound.at >= next || sound.at > answer.at + LATE) return [];
    return [{ text, end, ms: sound.at - end, heard: answer.at - end }];
  });
}

/** In a browser the sound has another clock than what is kept, ms. */
const CLOCKS: Ms = 25;

/** A sound so long after an answer was given is another's. */
const LATE: Ms = 1_000;

/** How long the tool spoke or sounded, ms. */
export function spokenFor({ spoken }: TubeRun): Ms {
  return spoken.reduce((sum, { at, end }) => sum + (end === Infinity ? 0 : end - at), 0);
}

/** The value that so large a part of them does not exceed; undefined of none. */
export function quantile(values: readonly number[], part: number): number | undefined {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))];
}
