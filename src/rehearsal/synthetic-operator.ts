import type { Ms } from '../units/time.ts';

/** One thing a synthetic operator says, and when. */
export interface ScriptLine {
  /** Id of the plan's step it belongs to. */
  readonly step: string;
  readonly text: string;
  /** Name under which later lines refer to this one. */
  readonly mark?: string;
  /** Silence before it, after the line before it and whatever was answered to that, in ms. The layout's pause when absent. */
  readonly pause?: Ms;
  /** Starts no earlier than `ms` after the onset or the end of a marked line: the second reading of a hold, the end of a build-up. */
  readonly notBefore?: { readonly mark: string; readonly edge: 'onset' | 'end'; readonly ms: Ms };
}

/** A line with its place on the sample clock: `at` is the onset of its first word, `end` the end of its last. */
export interface Utterance {
  readonly step: string;
  readonly text: string;
  readonly mark?: string;
  readonly at: Ms;
  readonly end: Ms;
}

export interface Pace {
  /** Silence before the first line, in ms. */
  readonly lead: Ms;
  /** Silence before each further line, in ms, where the line does not say otherwise. */
  readonly pause: Ms;
  /** How long the words of a line last, from onset to end, in ms. */
  speechLength(text: string): Ms;
  /** How long the other side talks after this utterance, in ms; called once for each, in order. Absent: not at all. */
  answerLength?(utterance: Utterance): Ms;
}

/**
 * Lays a script out in time. Lines never overlap and keep their order.
 * Throws when a line refers to a mark that no earlier line carries: a mistake in the script.
 */
export function layOut(script: readonly ScriptLine[], pace: Pace): Utterance[] {
  const timeline: Utterance[] = [];
  const marked = new Map<string, Utterance>();
  let free = 0;
  for (const line of script) {
    let at = timeline.length === 0 ? pace.lead : free + (line.pause ?? pace.pause);
    if (line.notBefore !== undefined) {
      const reference = marked.get(line.notBefore.mark);
      if (reference === undefined)
        throw new Error(`“${line.text}” waits for the mark ${line.notBefore.mark}, which no earlier line has`);
      at = Math.max(at, (line.notBefore.edge === 'onset' ? reference.at : reference.end) + line.notBefore.ms);
    }
    const utterance: Utterance = {
      step: line.step,
      text: line.text,
      ...(line.mark === undefined ? {} : { mark: line.mark }),
      at,
      end: at + pace.speechLength(line.text),
    };
    timeline.push(utterance);
    if (line.mark !== undefined) marked.set(line.mark, utterance);
    free = utterance.end + (pace.answerLength?.(utterance) ?? 0);
  }
  return timeline;
}
