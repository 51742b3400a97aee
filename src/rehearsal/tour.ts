import type { Scenario } from '../airsystem/scenario.ts';
import type { Plan } from '../check/plan.ts';
import type { LimitProfile } from '../judging/profile.ts';
import { withHolds } from './short-holds.ts';

/** A whole hold takes a minute; the tour is over in two. */
export const TOUR_HOLD_SECONDS = 15;

/** What the tour shows as what one can say. */
export const TOUR_PHRASES = {
  needles: 'primary one two two, secondary one two one',
  cues: ['engine off', 'brakes released', 'settled'],
  always: ['say again', 'how long left', 'correction, secondary one one six', 'stop the check'],
} as const;

const STEP = 'static-leakage';
/** Full tanks, as they are when a hold begins. */
const START_PSI = { primary: 122, secondary: 122, supply: 122 };

/** One hold on a rig in order, shortened: what a newcomer does first. Undefined where the plan has no such hold. */
export function tourOf(
  plan: Plan,
  profile: LimitProfile,
  scenario: Scenario,
): { readonly plan: Plan; readonly profile: LimitProfile; readonly scenario: Scenario } | undefined {
  const steps = plan.steps.filter(({ id, kind }) => id === STEP && kind === 'hold');
  if (steps.length === 0) return undefined;
  const short = withHolds({ ...plan, id: 'tour', title: 'Two-minute tour', steps }, profile, TOUR_HOLD_SECONDS);
  const told = `${scenario.rig.name}, simulated, in order, with full tanks. The hold is shortened to ${TOUR_HOLD_SECONDS} s; on a rig it is a minute.`;
  return { ...short, scenario: { ...scenario, id: 'tour', title: 'Two-minute tour', startPsi: START_PSI, told } };
}
