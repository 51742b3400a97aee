import { CAB_CUES } from '../check/cab.ts';
import { cueWords as called } from '../check/cue-words.ts';
import type { Plan } from '../check/plan.ts';
import { NUMBER_WORDS, QUICK_WORDS, type NumberWord } from './wording-numbers.ts';

/** Pauses: short ones inside a sentence, long ones at its end. In text they are the marks themselves. */
export const PAUSES = [',', ';', ':', '.', '?'] as const;

/** Fixed pieces of the answers, without those that come from a plan. */
const FRAGMENTS = [
  'primary',
  'secondary',
  'psi',
  'kilopascals',
  'heard',
  'corrected',
  'is that right',
  'was that you',
  'open listening',
  'push to talk',
  'yes means fail',
  'go back to measure again, or stop the check, or go on without moving the rig',
  'call the needles again',
  'call the primary',
  'call the secondary',
  'hold started',
  'seconds',
  'second',
  'the hold is not over',
  'seconds left',
  'second left',
  'window started',
  'call both needles now',
  'the microphone was lost',
  'some sound was lost',
  'the device may have slept',
  'the page was closed',
  'hearing stopped',
  'the reading came too late',
  'that was called too late',
  'the check was paused',
  'call both needles again',
  'say both needles again from the lower pressure',
  'pass',
  'marginal',
  'fail',
  'not judged',
  'no limit',
  'pressure rose',
  'the reason is on the screen',
  'dropped',
  'in',
  'limit',
  'a minute',
  'to',
  'at most',
  'at least',
  'below',
  'above',
  'took',
  'cut-out',
  'cut-in',
  'differential',
  'warning at',
  'activation at',
  'build-up',
  'still needed',
  'needed',
  'both needles',
  'or',
  'skip this step',
  'say the reason',
  'skipped',
  'going back',
  'paused',
  'say resume to go on',
  'going on',
  'stop the check',
  'say yes or no',
  'say your note',
  'note taken',
  'not now',
  'no hold is running',
  'check complete',
  'check stopped',
  'check incomplete',
  'time',
  'minutes',
  'minute',
  'do not drive on a failed check',
  'was called',
  'begin again',
  'say go back to repeat it',
  'go back to repeat it',
  'microphone lost',
  'sound lost',
  'device slept',
  'page closed',
  'too late',
  'too soon',
  'do it again',
  'too far apart',
  'say correction',
  'to take it back say correction',
  'say what it was',
  'a condition did not hold',
  'the needles came too late',
  'the hold cannot begin so',
  'call the moment and both needles again',
  'both needles have to be at',
  'or above',
  'the needles are too far apart',
  'left',
  'items',
  'report it',
  'say again',
  'passed over',
  'open defects',
  'say repaired or how it is',
] as const;

/** What has to be for a measurement to count. */
export const CONDITION_PHRASES = [
  'the engine has to be off',
  'the engine has to be running',
  'the fast idle has to be on',
  'the fast idle has to be off',
  'the parking brake has to be set',
  'the parking brake has to be released',
  'the brake pedal has to be free',
  'the brake pedal has to be applied',
  'the chocks have to be set',
] as const;

/** Reasons for a skip that have words of their own; others are shown, not spoken. */
export const SKIP_REASONS = [
  'not fitted',
  'no room',
  'no time',
  'weather',
  'out of service',
  'no helper',
  'other',
  'no reason given',
] as const;

export type Fragment =
  | (typeof FRAGMENTS)[number]
  | (typeof CONDITION_PHRASES)[number]
  | (typeof PAUSES)[number]
  | (typeof SKIP_REASONS)[number]
  | NumberWord;

/** A cue as it is spoken: “engine off”, “brakes not released”. */
export function cueWords(cue: string): string {
  return called(cue.replace(/^not-(?!in-)(.+)-([a-z]+)$/, '$1-not-$2'));
}

/** A step's title inside a sentence. */
export function titleWords(title: string): string {
  return title.charAt(0).toLowerCase() + title.slice(1);
}

/** As much of a title as tells which step it is: up to its first comma. */
export function shortTitle(title: string): string {
  return titleWords(title.split(',', 1)[0] ?? title);
}

/** Every phrase that `word` can give for answers of these plans, so that they can be made in advance. */
export function fixedPhrases(plans: readonly Plan[]): string[] {
  const steps = plans.flatMap((plan) => plan.steps);
  return [
    ...new Set<string>([
      ...PAUSES,
      ...NUMBER_WORDS,
      ...QUICK_WORDS,
      ...FRAGMENTS,
      ...CONDITION_PHRASES,
      ...SKIP_REASONS,
      // Any of them may contradict what is measured.
      ...CAB_CUES.map(cueWords),
      ...steps.flatMap(({ title, brief, caution, cues, outcomes = [], cuesAfter = [] }) => [
        titleWords(title),
        shortTitle(title),
        brief,
        ...(caution === undefined ? [] : [caution]),
        ...[...cues, ...outcomes, ...cuesAfter].map(cueWords),
      ]),
    ]),
  ];
}
