import { dial } from '../../../src/airsystem/gauges.ts';
import { cueWords } from '../../../src/check/cue-words.ts';
import { currentStep, needsOf } from '../../../src/check/needs.ts';
import type { Step } from '../../../src/check/plan.ts';
import type { CheckState } from '../../../src/check/state.ts';
import { runningHold } from '../../../src/check/hold.ts';
import { buildWindow } from '../../../src/check/build-window.ts';
import type { SpokenReading } from '../../../src/grammar/meaning.ts';
import { takeApart } from '../../../src/rehearsal/hands.ts';
import { spokenNumber, type NumberForm } from '../../../src/rehearsal/synthetic-operator-numbers.ts';
import { pressureIn } from '../../../src/units/pressure.ts';
import { momentOf, type Preparation } from './moments.ts';
import { walkWords, type Walk } from './walk.ts';
import { isTreated, type Act, type Doing, type Operator, type Pace, type Seen } from './operator.ts';

const FORMS: readonly NumberForm[] = ['digits', 'cardinal', 'oh-digits', 'hundred-less', 'cardinal-and'];
const YES = "yes that's right";
const ALL_GOOD: Walk = { bad: {}, breath: 1, tread: 'nine thirty seconds' };
/** Nobody drives on a failed check. */
const OUT_OF_SERVICE = 'skip this step, out of service';

type Want = readonly [Doing | undefined, Act];

/** What an operator who sees this would do next, and what it is then in the middle of. */
export function wantOf(operator: Operator, seen: Seen, pace: Pace): Want {
  const { belief } = operator;
  const { tool } = seen;
  const step = belief === undefined ? undefined : currentStep(belief);
  if (belief === undefined || tool === undefined || step === undefined) return [undefined, {}];
  const answer = answerTo(operator, tool, seen);
  if (answer !== undefined) return [operator.doing, answer];
  if (belief.phase !== 'listening' && belief.phase !== 'holding' && belief.phase !== 'building')
    return [operator.doing, {}];
  const walking = walkWords(belief, pace.walk ?? ALL_GOOD);
  if (walking !== undefined) return [undefined, { say: walking }];
  const needs = needsOf(step, belief.progress, belief.start.rig);
  if (step.test === 'service-brake-test' && belief.records.some(({ result }) => result.verdict === 'fail'))
    return [undefined, { say: OUT_OF_SERVICE }];
  const [cue] = step.kind === 'reading' && needs.reading ? [] : needs.cues;
  if (cue !== undefined)
    return after(operator, seen, pace, cuePreparation(step, cue, seen, pace), () => ({ say: spokenCue(cue) }));
  if (needs.outcomes.length > 0) {
    const moment = momentOf(step);
    return after(operator, seen, pace, moment, () => ({ say: spokenCue(moment.outcome?.(seen.cab) ?? '') }));
  }
  if (needs.reading) return needlesOf(operator, belief, step, seen, pace);
  const [last] = needs.cuesAfter;
  if (last === undefined) return [undefined, {}];
  return after(operator, seen, pace, cuePreparation(step, last, seen, pace), () => ({ say: spokenCue(last) }));
}

/** What a tool that asks is told; undefined when it asks nothing. */
function answerTo(operator: Operator, tool: CheckState, { offset, cab }: Seen): Act | undefined {
  if (!isTreated(operator, tool, offset)) return undefined;
  const meant = operator.last?.reading;
  if (tool.phase === 'asking' && tool.pending !== undefined) {
    return { say: meant === undefined || isSame(tool.pending.reading, meant) ? YES : 'no' };
  }
  if (tool.phase === 'wondering') return { say: isMine(operator, tool, offset) ? YES : 'no' };
  if (tool.phase === 'stopping') return { say: 'no' };
  if (tool.phase === 'skipping') return { say: 'out of service' };
  if (tool.phase === 'paused') return { say: 'resume' };
  const needles = meant ?? dial(cab.air);
  if (tool.restating !== undefined) return { say: inWords(needles, operator.readings) };
  const { half } = tool.progress;
  if (half !== undefined) {
    const circuit = half.reading.primary === undefined ? 'primary' : 'secondary';
    return { say: inWords({ [circuit]: needles[circuit] }, operator.readings) };
  }
  const heard = tool.callouts.findLast(({ source }) => source === 'voice');
  const read = heard?.meaning?.reading;
  if (meant !== undefined && heard?.taken === true && read !== undefined && !isSame(read, meant))
    return { say: `correction, ${inWords(meant, operator.readings)}` };
  return undefined;
}

/** The words that are asked about were the last that the operator said. */
function isMine({ last }: Operator, { whose, callouts }: CheckState, offset: number): boolean {
  const asked = callouts[whose?.callout ?? -1];
  return last !== undefined && asked !== undefined && last.at < asked.end + offset && last.end > asked.at + offset;
}

function needlesOf(operator: Operator, belief: CheckState, step: Step, seen: Seen, pace: Pace): Want {
  const needles = dial(seen.cab.air);
  const { progress, start } = belief;
  if (step.kind === 'build') {
    const begun = buildWindow(step, progress.readings).lower !== undefined;
    const mark = begun ? step.to : step.from;
    if (mark === undefined) return [undefined, {}];
    const reached = (): boolean =>
      Math.min(pressureIn(needles.primary, mark.unit), pressureIn(needles.secondary, mark.unit)) >= mark.value;
    return after(
      operator,
      seen,
      { ...pace, reaction: 0 },
      { key: `${step.id} ${mark.value}`, moves: [], there: reached },
      () => ({
        say: `both at ${spokenNumber(mark.value, 'cardinal')}`,
        mark: begun ? 'upper' : 'lower',
      }),
    );
  }
  const hold = runningHold(step, progress, start.rig);
  if (hold !== undefined) {
    if (seen.at < hold.due + seen.offset + pace.afterHold) return [operator.doing, {}];
    return [undefined, { say: inWords(needles, operator.readings), mark: 'after' }];
  }
  return [
    undefined,
    { say: inWords(needles, operator.readings), ...(step.kind === 'hold' ? { mark: 'before' as const } : {}) },
  ];
}

/** Does the movements one after the other, waits for what is to come, and then says it. */
function after(operator: Operator, seen: Seen, pace: Pace, preparation: Preparation, say: () => Act): Want {
  const { key, moves, there } = preparation;
  const doing: Doing = operator.doing?.key === key ? operator.doing : { key, moved: 0, since: seen.at };
  const next = moves[doing.moved];
  if (next !== undefined) {
    if (seen.at < doing.since + (doing.moved === 0 ? 0 : (moves[doing.moved - 1]?.lasts ?? 0))) return [doing, {}];
    return [{ key, moved: doing.moved + 1, since: seen.at }, { move: next.move }];
  }
  if (seen.at < doing.since + (moves.at(-1)?.lasts ?? 0)) return [doing, {}];
  if (doing.there === undefined && !there(seen.cab, seen.at - doing.since)) return [doing, {}];
  const since = doing.there ?? seen.at;
  const waiting = { ...doing, there: since };
  if (seen.at < since + (preparation.sudden === true ? pace.reaction : 0)) return [waiting, {}];
  const letGo = preparation.finally;
  if (letGo === undefined || waiting.letGo === true) return [waiting, say()];
  // What came is not made worse while there is no room for words.
  if (preparation.sudden === true) return [{ ...waiting, letGo: true }, { move: letGo }];
  return [waiting, { ...say(), move: letGo }];
}

function cuePreparation(step: Step, cue: string, seen: Seen, pace: Pace): Preparation {
  const { movements } = takeApart(
    { type: 'callout', at: 0, end: 0, heard: '', confidence: 1, source: 'voice', meaning: { cues: [cue] } },
    true,
  );
  return {
    key: `${step.id} ${cue}`,
    moves: seen.cuesMove ? [] : movements.map((move) => ({ move, lasts: 300 })),
    there: (_cab, since) => cue !== 'settled' || since >= pace.settling,
  };
}

function spokenCue(cue: string): string {
  if (cue === 'cut-out') return 'governor cut out';
  if (cue === 'cut-in') return 'needles rising';
  return cueWords(cue);
}

function inWords({ primary, secondary }: SpokenReading, turn: number): string {
  const form = FORMS[turn % FORMS.length] ?? 'digits';
  if (primary !== undefined && primary.value === secondary?.value) return `both ${spokenNumber(primary.value, form)}`;
  const first = primary === undefined ? [] : [`primary ${spokenNumber(primary.value, form)}`];
  const second = secondary === undefined ? [] : [`secondary ${spokenNumber(secondary.value, form)}`];
  return (turn % 4 === 3 ? [...second, ...first] : [...first, ...second]).join(', ');
}

function isSame(one: SpokenReading, other: SpokenReading): boolean {
  return one.primary?.value === other.primary?.value && one.secondary?.value === other.secondary?.value;
}
