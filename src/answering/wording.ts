import type { Answer, RepeatReason } from '../check/answer.ts';
import type { Step } from '../check/plan.ts';
import type { SpokenReading } from '../grammar/meaning.ts';
import type { Condition } from '../judging/condition.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { TalkLevel } from './level.ts';
import { isTone, SWEEP } from './tones.ts';
import { wordBriefly } from './wording-brief.ts';
import { cardinal, digits, plainWords } from './wording-numbers.ts';
import { CONDITION_PHRASES, cueWords, PAUSES, SKIP_REASONS, titleWords, type Fragment } from './wording-phrases.ts';
import { itemList, leftWords, wordItems } from './wording-items.ts';
import { cueList, wordAgainstLimit, wordVerdict } from './wording-verdict.ts';

/**
 * A short fixed piece of speech: a word, a pause mark, or a whole sentence of a plan. The closed list of all that can
 * occur is `fixedPhrases`, so that a voice may play pieces made in advance.
 */
export type Phrase = string;

/** An answer in words and tones, without its caution; empty when nothing is to be said. */
export function word(answer: Answer, level: TalkLevel): readonly Phrase[] {
  return (level === 'full' ? undefined : wordBriefly(answer, level)) ?? wordFully(answer);
}

/** The caution that comes with an answer, which is said at every level; empty when there is none. */
export function wordCaution(answer: Answer): readonly Phrase[] {
  if (answer.type === 'again') return wordCaution(answer.answer);
  if (answer.type !== 'brief' || !answer.caution || answer.step.caution === undefined) return [];
  return [answer.step.caution];
}

function wordFully(answer: Answer): Phrase[] {
  switch (answer.type) {
    case 'brief':
      return [answer.step.brief];
    case 'read-back':
      return [...(answer.corrected ? piece('corrected', ',') : []), ...needles(answer.reading), '.'];
    case 'noted':
      return [cueWords(answer.cue), '.'];
    case 'question':
      return ['heard', ...needles(answer.reading), '.', ...yesMeansFail(answer), 'is that right', '?'];
    case 'whose':
      return ['heard', cueWords(answer.cue), '.', ...piece('was that you', '?')];
    case 'again':
      return wordFully(answer.answer);
    case 'listens':
      return piece(answer.how === 'openly' ? 'open listening' : 'push to talk', '.');
    case 'missing-circuit':
      return piece(answer.circuit === 'primary' ? 'call the primary' : 'call the secondary', '.');
    case 'call-again':
      return piece('call the needles again', '.');
    case 'hold-started':
      return piece('hold started', ',', ...cardinal(answer.seconds), 'seconds', '.');
    case 'hold-not-over':
      return piece('the hold is not over', '.', ...secondsLeft(answer.seconds));
    case 'window-started':
      return piece('window started', '.');
    case 'time-left':
      return answer.seconds <= 5 ? piece(...cardinal(answer.seconds), '.') : secondsLeft(answer.seconds);
    case 'call-needles':
      return piece('call both needles now', '.');
    case 'repeat':
      return repeat(answer.step, answer.because);
    case 'contradicted':
      return [cueWords(answer.cue), '.', ...conditionPhrases(answer.condition), '.', 'begin again', '.'];
    case 'unfit-start':
      return [...conditionPhrases(answer.condition), '.', ...piece('call both needles again', '.')];
    case 'left':
      return [titleWords(answer.step.title), ':', ...piece('not judged', '.', 'say go back to repeat it', '.')];
    case 'sticks':
      return [
        cueWords(answer.held),
        ...piece('was called', '.', 'to take it back say correction', ','),
        cueWords(answer.said),
        '.',
      ];
    case 'say-what-it-was':
      return piece('say what it was', '.');
    case 'verdict':
      return wordVerdict(answer.step, answer.result);
    case 'fork':
      return piece('go back to measure again, or stop the check, or go on without moving the rig', '.');
    case 'still-needed':
      return stillNeeded(answer.step, answer.cues, answer.reading);
    case 'ask-skip-reason':
      return piece('skip this step', '?', 'say the reason', '.');
    case 'skipped':
      return ['skipped', ...skipReason(answer.reason), '.'];
    case 'went-back':
      return ['going back', ':', titleWords(answer.step.title), '.'];
    case 'paused':
      return piece('paused', '.', 'say resume to go on', '.');
    case 'resumed':
    case 'going-on':
      return piece('going on', '.');
    case 'ask-stop':
      return piece('stop the check', '?', 'say yes or no', '.');
    case 'ask-note':
      return piece('say your note', '.');
    case 'note-taken':
      return piece('note taken', '.');
    case 'not-here':
      return piece(answer.command === 'how-long' ? 'no hold is running' : 'not now', '.');
    case 'items-noted':
      return [...itemList(answer.said), '.', ...leftWords(answer.left)];
    case 'item-bad':
    case 'item-sticks':
    case 'items-again':
    case 'item-impossible':
    case 'passed-over':
    case 'open-defects':
      return wordItems(answer);
    case 'finished':
      return finished(answer);
  }
}

/** "Primary dropped eight; limit two a minute. Yes means fail." */
function yesMeansFail({ because, fails }: Extract<Answer, { type: 'question' }>): string[] {
  if (because !== 'would-fail') return [];
  return [...(fails === undefined ? [] : wordAgainstLimit(fails, true)), ...piece('yes means fail', '.')];
}

/** The phrases as running text, for captions and for speech engines; tones are left out. */
export function textOf(phrases: readonly Phrase[]): string {
  let text = '';
  for (const spoken of phrases) {
    if (isTone(spoken) || spoken === SWEEP) continue;
    const phrase = plainWords(spoken);
    if ((PAUSES as readonly string[]).includes(phrase)) text += phrase;
    else if (text === '') text = capital(phrase);
    else text += ` ${/[.?!]$/.test(text) ? capital(phrase) : phrase}`;
  }
  return text;
}

function capital(phrase: string): string {
  return phrase.charAt(0).toUpperCase() + phrase.slice(1);
}

/** Keeps fixed pieces to the closed list at compile time. */
function piece(...fragments: readonly Fragment[]): Fragment[] {
  return [...fragments];
}

function needles({ primary, secondary }: SpokenReading): Fragment[] {
  const first = primary === undefined ? [] : piece('primary', ...digits(primary.value));
  const second = secondary === undefined ? [] : piece('secondary', ...digits(secondary.value));
  return first.length > 0 && second.length > 0 ? [...first, ',', ...second] : [...first, ...second];
}

function secondsLeft(seconds: number): Fragment[] {
  return piece(...cardinal(seconds), seconds === 1 ? 'second left' : 'seconds left', '.');
}

const BECAUSE: Readonly<Record<RepeatReason, Fragment>> = {
  'microphone-lost': 'the microphone was lost',
  'sound-lost': 'some sound was lost',
  slept: 'the device may have slept',
  'page-closed': 'the page was closed',
  'engine-lost': 'hearing stopped',
  'reading-late': 'the reading came too late',
  'conditions-late': 'that was called too late',
  paused: 'the check was paused',
  contradicted: 'a condition did not hold',
  'needles-late': 'the needles came too late',
  'outcome-early': 'too soon',
  'unfit-start': 'the hold cannot begin so',
};

/** A condition as what has to be; those of a plan or profile that have no phrase of their own are shown only. */
function conditionPhrases(condition: Condition): Fragment[] {
  if ('lowestStart' in condition)
    return piece(
      'both needles have to be at',
      ...cardinal(condition.lowestStart.value),
      unitWords(condition.lowestStart.unit),
      'or above',
    );
  if ('circuitsApart' in condition) return piece('the needles are too far apart');
  if ('momentToNeedles' in condition) return piece('the needles came too late');
  const known = CONDITION_PHRASES.find(
    (phrase) =>
      phrase === `the ${condition.part} ${condition.part === 'chocks' ? 'have' : 'has'} to be ${condition.is}`,
  );
  return piece(known ?? 'a condition did not hold');
}

function unitWords(unit: PressureUnit): Fragment {
  return unit === 'psi' ? 'psi' : 'kilopascals';
}

function repeat(step: Step, because: RepeatReason): string[] {
  const [outcome] = step.outcomes ?? [];
  if (because === 'outcome-early' && outcome !== undefined)
    return [cueWords(outcome), ...piece('was called', BECAUSE[because], '.', 'do it again', '.')];
  const what =
    step.kind === 'build'
      ? 'say both needles again from the lower pressure'
      : because === 'needles-late'
        ? 'call the moment and both needles again'
        : 'call both needles again';
  return piece(BECAUSE[because], '.', what, '.');
}

function stillNeeded(step: Step, cues: readonly string[], reading: boolean): string[] {
  const outcomes = new Set(step.outcomes);
  const plain = cues.filter((cue) => !outcomes.has(cue));
  const parts = [
    cueList(plain, ','),
    cueList(
      cues.filter((cue) => outcomes.has(cue)),
      'or',
    ),
    ...(reading ? [['both needles']] : []),
  ];
  const listed = parts
    .filter((part) => part.length > 0)
    .flatMap((part, index) => (index === 0 ? part : [',', ...part]));
  return listed.length === 0 ? [] : ['still needed', ':', ...listed, '.'];
}

function skipReason(reason: string): Fragment[] {
  const known = SKIP_REASONS.find((candidate) => candidate === reason);
  return known === undefined ? [] : [',', known];
}

function finished({ verdict, seconds, stopped }: Extract<Answer, { type: 'finished' }>): Fragment[] {
  const head = stopped
    ? piece('check stopped', '.', 'check incomplete', '.')
    : verdict === 'incomplete'
      ? piece('check incomplete', '.')
      : piece('check complete', ':', verdict, '.');
  const advice = verdict === 'fail' ? piece('do not drive on a failed check', '.') : [];
  return [...head, ...advice, ...(seconds === undefined ? [] : clock(seconds))];
}

function clock(seconds: number): Fragment[] {
  const whole = Math.round(seconds);
  const minutes = Math.floor(whole / 60);
  return piece(
    'time',
    ...cardinal(minutes),
    minutes === 1 ? 'minute' : 'minutes',
    ...cardinal(whole % 60),
    whole % 60 === 1 ? 'second' : 'seconds',
    '.',
  );
}
