import type { Answer, RepeatReason } from '../check/answer.ts';
import { isOfCab, type Condition } from '../judging/condition.ts';
import type { Step } from '../check/plan.ts';
import type { SpokenReading } from '../grammar/meaning.ts';
import type { StepResult } from '../judging/result.ts';
import type { TalkLevel } from './level.ts';
import { tone } from './tones.ts';
import { leftWords } from './wording-items.ts';
import { cardinal, quickDigits, quickly } from './wording-numbers.ts';
import { cueWords, shortTitle, type Fragment } from './wording-phrases.ts';

/** So few items left are counted after each callout. Ours, no source. */
const COUNTED_LEFT = 3;

/** A tone for what a tone can say, words for the rest. */
type Brief = Exclude<TalkLevel, 'full'>;

/**
 * An answer in few words, so that it takes two seconds at most, and three where it asks for a measurement anew; undefined for what is said
 * in full at every level: items, and, but for `tones`, every question. Cautions have no part in it; see `wordCaution`.
 */
export function wordBriefly(answer: Answer, level: Brief): readonly string[] | undefined {
  const isTones = level === 'tones';
  switch (answer.type) {
    case 'brief':
      return isTones ? [] : [shortTitle(answer.step.title), '.'];
    case 'read-back':
      return isTones ? [tone('taken')] : readBack(answer.reading);
    case 'noted':
    case 'note-taken':
      return [tone('taken')];
    case 'question':
    case 'missing-circuit':
    case 'call-again':
    case 'ask-skip-reason':
    case 'ask-stop':
    case 'ask-note':
    case 'say-what-it-was':
      return isTones ? [tone('asked')] : undefined;
    case 'hold-started':
      return isTones ? [tone('hold')] : [quickly('hold'), '.'];
    case 'window-started':
      return isTones ? [tone('hold')] : [quickly('window'), '.'];
    case 'time-left':
      if (answer.asked === true) return secondsLeft(answer.seconds);
      return answer.seconds === 10 ? [tone('ten')] : [];
    case 'call-needles':
      return answer.again === true && !isTones ? undefined : [tone('call')];
    case 'contradicted':
      return [cueWords(answer.cue), '.', 'begin again', '.'];
    case 'repeat':
      return repeat(answer.step, answer.because);
    case 'unfit-start':
      return unfitStart(answer.condition);
    case 'left':
      return ['not judged', ',', 'go back to repeat it', '.'];
    case 'sticks':
      return [cueWords(answer.held), ',', 'say correction', ',', cueWords(answer.said), '.'];
    case 'hold-not-over':
      return secondsLeft(answer.seconds);
    case 'verdict':
      return verdict(answer.step, answer.result, isTones);
    case 'still-needed':
      return isTones ? [tone('asked')] : stillNeeded(answer.cues);
    case 'skipped':
      return isTones ? [tone('taken')] : ['skipped', '.'];
    case 'went-back':
      return [shortTitle(answer.step.title), '.'];
    case 'paused':
      return isTones ? [tone('hold')] : ['paused', '.'];
    case 'resumed':
    case 'going-on':
      return isTones ? [tone('taken')] : undefined;
    case 'not-here':
      return [tone('not-taken')];
    case 'finished':
      return finished(answer, isTones);
    case 'items-noted':
      return [tone('taken'), ...(isTones || answer.left > COUNTED_LEFT ? [] : leftWords(answer.left))];
    case 'item-bad':
    case 'item-sticks':
    case 'items-again':
    case 'item-impossible':
    case 'passed-over':
    case 'open-defects':
    case 'fork':
    case 'whose':
    case 'listens':
      return undefined;
    case 'again':
      return wordBriefly(answer.answer, level);
  }
}

/** Digits alone where both needles were called, in the order of the dials. */
function readBack({ primary, secondary }: SpokenReading): string[] {
  if (primary !== undefined && secondary !== undefined)
    return primary.value === secondary.value
      ? [quickly('both'), ...quickDigits(primary.value)]
      : [...quickDigits(primary.value), ',', ...quickDigits(secondary.value)];
  if (primary !== undefined) return ['primary', ...quickDigits(primary.value)];
  return secondary === undefined ? [] : ['secondary', ...quickDigits(secondary.value)];
}

function verdict(step: Step, result: StepResult, isTones: boolean): string[] {
  if (result.verdict === 'pass' && result.limits.length === 0 && step.kind !== 'observe') return [];
  if (isTones) return [tone(result.verdict)];
  return [result.verdict, ...worstDrop(result), '.'];
}

/** ", one psi": the greater drop of a hold, with its circuit where it fails. */
function worstDrop({ figures, verdict: is }: StepResult): string[] {
  const { primaryDrop, secondaryDrop } = figures;
  if (is === 'not judged' || primaryDrop === undefined || secondaryDrop === undefined) return [];
  const [circuit, drop] =
    secondaryDrop.value > primaryDrop.value ? ['secondary', secondaryDrop] : ['primary', primaryDrop];
  // The question before a fail has said by how much.
  if (is === 'fail') return [',', circuit];
  const value = quickDigits(drop.unit === 'psi' ? drop.value : Math.round(drop.value));
  return [',', ...value, ...(drop.unit === 'psi' && value.length === 1 && is === 'pass' ? [quickly('psi')] : [])];
}

/** The one thing that comes next; never the bare words for it, which would be a callout. */
function stillNeeded(cues: readonly string[]): string[] {
  const [first] = cues;
  return ['needed', ':', first === undefined ? 'both needles' : cueWords(first), '.'];
}

const BECAUSE: Readonly<Record<RepeatReason, Fragment>> = {
  'microphone-lost': 'microphone lost',
  'sound-lost': 'sound lost',
  slept: 'device slept',
  'page-closed': 'page closed',
  'engine-lost': 'hearing stopped',
  'reading-late': 'too late',
  'conditions-late': 'too late',
  paused: 'paused',
  contradicted: 'a condition did not hold',
  'needles-late': 'too late',
  'outcome-early': 'too soon',
  'unfit-start': 'the hold cannot begin so',
};

function repeat(step: Step, because: RepeatReason): string[] {
  const [outcome] = step.outcomes ?? [];
  if (because === 'outcome-early' && outcome !== undefined)
    return [cueWords(outcome), ',', ...piece(BECAUSE[because], ',', 'do it again', '.')];
  return [...piece(BECAUSE[because]), ',', 'begin again', '.'];
}

/** What has to be, and to begin again; a condition of the cab is told in full, since it is one to be set right. */
function unfitStart(condition: Condition): string[] | undefined {
  if (isOfCab(condition)) return undefined;
  if ('lowestStart' in condition)
    return [...piece('below'), ...cardinal(condition.lowestStart.value), ',', 'begin again', '.'];
  return [...piece('circuitsApart' in condition ? 'too far apart' : 'too late'), ',', 'begin again', '.'];
}

/** From a hundred on digit by digit, as a dial. */
function secondsLeft(seconds: number): string[] {
  const amount = seconds < 100 ? cardinal(seconds) : quickDigits(seconds);
  return [...amount, seconds === 1 ? 'second' : 'seconds', '.'];
}

/** Keeps fixed pieces to the closed list at compile time. */
function piece(...fragments: readonly Fragment[]): Fragment[] {
  return [...fragments];
}

/** "Do not drive on a failed check" is a caution, and is said at every level. */
function finished({ verdict: is, stopped }: Extract<Answer, { type: 'finished' }>, isTones: boolean): string[] {
  const advice = is === 'fail' ? ['do not drive on a failed check', '.'] : [];
  if (stopped || is === 'incomplete')
    return [isTones ? tone('not judged') : 'check incomplete', ...(isTones ? [] : ['.']), ...advice];
  return isTones ? [tone(is), ...advice] : [quickly('check complete'), ',', is, '.', ...advice];
}
