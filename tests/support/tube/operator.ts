import type { Cab } from '../../../src/rehearsal/cab.ts';
import type { Movement } from '../../../src/rehearsal/hands.ts';
import { advance } from '../../../src/check/machine.ts';
import type { CheckState } from '../../../src/check/state.ts';
import type { Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import type { Ms } from '../../../src/units/time.ts';
import type { Walk } from './walk.ts';
import { wantOf } from './wants.ts';

/**
 * `waits`: never speaks before the tool has fallen silent; `never-waits`: goes on 300 ms after its own last step, whatever the tool says;
 * `interrupts`: begins in the middle of what the tool says, where it says anything.
 */
type Manner = 'waits' | 'never-waits' | 'interrupts';

/** How fast an operator is, in ms. */
export interface Pace {
  readonly manner: Manner;
  /** From the end of the last words (of the tool, for one who waits) to the next. */
  readonly pause: Ms;
  /** How far into the tool's words one who interrupts begins. */
  readonly cutIn: Ms;
  /** From something that is seen or heard in the cab to the words for it. */
  readonly reaction: Ms;
  /** From the last movement to "settled". */
  readonly settling: Ms;
  /** From the end of a hold, by the operator's own watch, to the needles. */
  readonly afterHold: Ms;
  /** Silence of the tool after which the operator looks at the screen, and says again what is not there. */
  readonly patience: Ms;
  /** Words that come out in the middle of the first hold, so long after it began, besides what the check asks for. */
  readonly blurt?: { readonly text: string; readonly after: Ms };
  /** What is seen at the places of the plan; all of it is good when absent. */
  readonly walk?: Walk;
  /** Words that are said one after the other, whatever the tool says or the rig does, and nothing else. */
  readonly script?: readonly Line[];
}

/** Words of a script, and the time from the end of those before to their onset; `pause` of the pace when absent. */
export interface Line {
  readonly say: string;
  readonly after?: Ms;
}

export const WAITS: Pace = {
  manner: 'waits',
  pause: 600,
  cutIn: 0,
  reaction: 400,
  settling: 12_000,
  afterHold: 1_200,
  patience: 3_000,
};
export const NEVER_WAITS: Pace = { ...WAITS, manner: 'never-waits', pause: 300 };
export const INTERRUPTS: Pace = { ...WAITS, manner: 'interrupts', pause: 1_100, cutIn: 300 };

/** What the operator hears and sees now. Times of the check are ms on its own clock, all others on that of the tube. */
export interface Seen {
  readonly at: Ms;
  /** The tool's check as its screen shows it; undefined while there is none. */
  readonly tool: CheckState | undefined;
  /** Time of the tube minus time of the check. */
  readonly offset: Ms;
  /** When the tool began to speak, while it does; and when it last fell silent. */
  readonly speakingSince: Ms | undefined;
  readonly silentSince: Ms;
  readonly cab: Cab;
  /** In a rehearsal the cues move the controls that they speak of. */
  readonly cuesMove: boolean;
}

/** Something said, with the onset of its first word and the end of its last. */
export interface Said {
  readonly text: string;
  readonly at: Ms;
  readonly end: Ms;
  /** Id of the step that it was meant for. */
  readonly step: string;
  /** Of the hold or window whose edge it is. */
  readonly mark?: 'before' | 'after' | 'lower' | 'upper';
  /** It had been said before, and was not taken. */
  readonly again: boolean;
}

/** What is being waited for or done with the hands. */
export interface Doing {
  readonly key: string;
  /** How many movements of it are made. */
  readonly moved: number;
  readonly since: Ms;
  /** Since when what is waited for is there. */
  readonly there?: Ms;
  /** The hands have let go since. */
  readonly letGo?: true;
}

/** All that an operator remembers. Plain data; the same sights give the same words. */
export interface Operator {
  /** The check as it must stand when everything that was said has been taken. */
  readonly belief?: CheckState;
  readonly last?: Said & { readonly reading?: SpokenReading };
  /** Readings said so far: the form of the numbers changes from one to the next. */
  readonly readings: number;
  readonly doing?: Doing | undefined;
  /** What was said in vain and has to be said again. */
  readonly vain?: string | undefined;
  readonly blurted?: true;
  /** Lines of the script that were said. */
  readonly lines?: number;
}

/** The check is begun by a press, and the first line of the screen is read. */
const FIRST_LOOK: Ms = 1_500;

export const NEW_OPERATOR: Operator = { readings: 0 };

/** What an operator does at a moment: moves something, or says something. */
export interface Act {
  readonly move?: Movement;
  readonly say?: string;
  readonly mark?: Said['mark'];
  readonly again?: boolean;
}

/** What the operator does now. Asked often; never while it speaks. */
export function act(operator: Operator, seen: Seen, pace: Pace): readonly [Operator, Act] {
  const { tool } = seen;
  if (tool === undefined || tool.phase === 'done') return [operator, {}];
  if (pace.script !== undefined) return actByScript(operator, seen, pace.script, pace);
  const knowing = lookedUp(operator, tool, seen, pace);
  if (isToBlurt(knowing, tool, seen, pace)) return [{ ...knowing, blurted: true }, { say: pace.blurt?.text ?? '' }];
  const [doing, want] = wantOf(knowing, seen, pace);
  const next: Operator = { ...knowing, doing };
  if (want.say === undefined) return [next, want];
  if (!isFree(knowing, seen, pace)) return [next, {}];
  return [next, { ...want, again: knowing.vain === want.say }];
}

function actByScript(
  operator: Operator,
  { at, tool }: Seen,
  script: readonly Line[],
  pace: Pace,
): readonly [Operator, Act] {
  const { lines = 0, last } = operator;
  const line = script[lines];
  if (line === undefined || at < (last?.end ?? 0) + (line.after ?? pace.pause)) return [operator, {}];
  return [{ ...operator, lines: lines + 1, ...(tool === undefined ? {} : { belief: tool }) }, { say: line.say }];
}

function isToBlurt({ blurted }: Operator, tool: CheckState, { at, offset }: Seen, { blurt }: Pace): boolean {
  const opening = tool.phase === 'holding' ? tool.progress.readings[0] : undefined;
  if (blurt === undefined || blurted === true || opening === undefined) return false;
  return at >= opening.end + offset + blurt.after;
}

/** After the words were said: what the operator now takes the check to be. */
export function spoke(operator: Operator, said: Said, meaning: Meaning | undefined, offset: Ms): Operator {
  const belief =
    operator.belief === undefined || meaning === undefined
      ? undefined
      : advance(operator.belief, {
          type: 'callout',
          at: said.at - offset,
          end: said.end - offset,
          heard: said.text,
          confidence: 1,
          source: 'voice',
          meaning,
        }).state;
  const { reading } = meaning ?? {};
  return {
    ...operator,
    vain: undefined,
    ...(belief === undefined ? {} : { belief }),
    last: { ...said, ...(reading === undefined ? {} : { reading }) },
    readings: operator.readings + (reading === undefined ? 0 : 1),
  };
}

/** True when the tool has treated the last words, taken or not. */
export function isTreated({ last }: Operator, tool: CheckState, offset: Ms): boolean {
  if (last === undefined) return true;
  const heard = tool.callouts.findLast(({ source }) => source === 'voice');
  return heard !== undefined && heard.end + offset > last.at;
}

/** With what the screen shows: once the last words are treated there, or when they ought to be. */
function lookedUp(operator: Operator, tool: CheckState, seen: Seen, pace: Pace): Operator {
  if (isTreated(operator, tool, seen.offset)) return { ...operator, belief: tool };
  const { last } = operator;
  const quietSince = Math.max(last?.end ?? 0, pace.manner === 'waits' ? seen.silentSince : 0);
  if (seen.speakingSince !== undefined && pace.manner === 'waits') return operator;
  if (seen.at < quietSince + pace.patience) return operator;
  const { last: lost, ...rest } = operator;
  return { ...rest, belief: tool, ...(lost === undefined ? {} : { vain: lost.text }) };
}

function isFree({ last }: Operator, { at, speakingSince, silentSince }: Seen, pace: Pace): boolean {
  if (last === undefined && at < FIRST_LOOK) return false;
  const breath = (last?.end ?? -Infinity) + pace.pause;
  switch (pace.manner) {
    case 'waits':
      return speakingSince === undefined && at >= Math.max(breath, silentSince + pace.pause);
    case 'never-waits':
      return at >= breath;
    case 'interrupts':
      return (
        at >= breath || (speakingSince !== undefined && at >= Math.max(speakingSince, last?.end ?? 0) + pace.cutIn)
      );
  }
}
