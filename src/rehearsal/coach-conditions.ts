import type { Controls } from '../airsystem/controls.ts';
import { buildWindow } from '../check/build-window.ts';
import { conditionsOf, conditionWords } from '../check/conditions.ts';
import { isOfCab, type Condition } from '../judging/condition.ts';
import type { Ms } from '../units/time.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { findingIn, handsIn, sampleAt } from './play.ts';

/** Less at the pedal than this is not a brake that is applied. Ours, no source. */
export const APPLIED_PSI = 10;
/** Letting the pedal up to less than this share of its pressure is not holding it. Ours, no source. */
const HELD_SHARE = 0.8;

/**
 * The conditions of a measurement against the cab as it was, said or not: the same that the check asks the callouts for. They hold from the
 * first word of a hold or a build window to its last, and at a moment. A measurement that the check itself did not count is named too.
 */
export function coachConditions(play: Play, played: PlayedStep): Finding[] {
  return [...notKeptUp(play, played), ...notCounted(play, played)];
}

function notKeptUp(play: Play, played: PlayedStep): Finding[] {
  const span = spanOf(played);
  if (span === undefined) return [];
  const conditions = conditionsOf(played.step, play.check.start);
  const hands = handsIn(play.cab, ...span);
  const pedal = hands[0]?.controls.pedalPsi ?? 0;
  for (const { at, controls } of hands) {
    const parkingOut = sampleAt(play.cab, at).parkingOut;
    const what = conditions
      .map((condition) => broken(condition, played, { controls, parkingOut, pedal }))
      .find((told) => told !== undefined);
    if (what !== undefined) return [findingIn(play, 'not-done', played, at, what)];
  }
  return [];
}

/** When a measurement was made, from its first word to its last. */
function spanOf({ step, progress }: PlayedStep): [from: Ms, to: Ms] | undefined {
  if (step.kind === 'hold') {
    const [first, second] = progress.readings;
    return first === undefined || second === undefined ? undefined : [first.start, second.start];
  }
  if (step.kind === 'build') {
    const { lower, upper } = buildWindow(step, progress.readings);
    return lower === undefined || upper === undefined ? undefined : [lower.start, upper.start];
  }
  const { outcome } = progress;
  return step.kind === 'event' && outcome !== undefined ? [outcome.at, outcome.at] : undefined;
}

const DURING: Readonly<Partial<Record<PlayedStep['step']['kind'], string>>> = {
  hold: 'during the hold',
  build: 'during the build-up',
  event: 'at that moment',
};

/** What of a condition of the cab was not so; `pedal`: psi at the first needles of a hold. */
function broken(
  condition: Condition,
  { step }: PlayedStep,
  now: { readonly controls: Controls; readonly parkingOut: boolean; readonly pedal: number },
): string | undefined {
  if (!isOfCab(condition)) return undefined;
  const { engine, ignition, pedalPsi, fastIdle } = now.controls;
  const during = DURING[step.kind] ?? '';
  const runs = engine && ignition;
  switch (`${condition.part} ${condition.is}`) {
    case 'engine off':
      return runs ? `The engine was running ${during}.` : undefined;
    case 'engine running':
      return runs ? undefined : `The engine was off ${during}.`;
    case 'fast idle on':
      return fastIdle ? undefined : `Fast idle was off ${during}.`;
    case 'parking brake released':
      // The spring brakes come on by themselves at the moment that their step is about.
      return now.parkingOut && step.kind === 'hold' ? `The parking brake was not released ${during}.` : undefined;
    case 'brake pedal applied':
      return pedalPsi < Math.max(APPLIED_PSI, HELD_SHARE * now.pedal)
        ? `The pedal was let up from ${Math.round(now.pedal)} to ${Math.round(pedalPsi)} psi ${during}; hold it steady.`
        : undefined;
    case 'brake pedal free':
      return pedalPsi >= APPLIED_PSI
        ? `The pedal was pressed to ${Math.round(pedalPsi)} psi ${during}; keep the foot off it.`
        : undefined;
    default:
      return undefined;
  }
}

/** True for a measurement that did not count and was not made again. */
export function isSpoiled({ spoiled, repeatBecause }: PlayedStep['progress']): boolean {
  return spoiled !== undefined || repeatBecause === 'needles-late';
}

/** A measurement that a callout or its needles spoiled, and that was not made again. */
function notCounted(play: Play, played: PlayedStep): Finding[] {
  const { record, progress, to } = played;
  if (record === undefined || record.outcome === 'judged' || !isSpoiled(progress)) return [];
  const { spoiled } = progress;
  if (spoiled !== undefined) {
    const said = spoiled.by === undefined ? '' : `, and “${spoiled.by.heard}” was called`;
    const what = `Nothing was measured: the condition is ${conditionWords(spoiled.condition)}${said}.`;
    return [findingIn(play, 'not-done', played, spoiled.by?.at ?? to, what)];
  }
  const what = 'Nothing was measured: the needles were called too long after the moment they belong to.';
  return [findingIn(play, 'late', played, to, what)];
}
