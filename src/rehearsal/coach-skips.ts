import { pressureIn } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import { NOT_CALLED } from './catch-up.ts';
import { MOMENTS } from './coach-moments.ts';
import { testsShowing } from './fault-words.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { curveOf, failedBefore, findingIn } from './play.ts';

/**
 * A step that the trainee skipped. It is right where a fault keeps what the step waits for from coming, and at the drive after a fail;
 * else the step is missing.
 */
export function coachSkip(play: Play, played: PlayedStep): Finding[] {
  const { record, step, calls } = played;
  const call = calls.find(({ record: { meaning, heard } }) => meaning?.command === 'skip' && heard !== NOT_CALLED);
  if (record?.outcome !== 'skipped' || call === undefined) return [];
  const { at } = call.record;
  const isRight =
    (step.test === 'service-brake-test' && failedBefore(play, played) !== undefined) ||
    play.faults.some((fault) => testsShowing(fault).includes(step.test)) ||
    (play.faults.length > 0 && neverCame(play, played, at));
  if (isRight) return [];
  return [findingIn(play, 'missing', played, at, 'The step was skipped, and nothing kept it from being done.')];
}

/** What the step waited for had not come by `until`: its moment, or the upper pressure of a build-up. */
function neverCame({ cab }: Play, { step, from }: PlayedStep, until: Ms): boolean {
  if (step.kind === 'event') {
    const awaited = (step.outcomes ?? []).map((cue) => MOMENTS[cue]?.is);
    return !cab.happened.some(({ kind, at }) => at >= from && at <= until && awaited.includes(kind));
  }
  const { to } = step;
  if (step.kind !== 'build' || to === undefined) return false;
  return !curveOf(cab, from, until).some(
    (sample) => Math.min(sample.primary, sample.secondary) >= pressureIn(to, 'psi'),
  );
}
