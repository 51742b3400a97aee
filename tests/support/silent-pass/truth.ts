import type { Scenario } from '../../../src/airsystem/scenario.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import type { AppliedLimit, StepResult } from '../../../src/judging/result.ts';
import { performScripted } from '../../../src/rehearsal/scripted-trainee.ts';
import type { RehearsalSetup } from '../../../src/rehearsal/rehearsal.ts';
import type { Plan } from '../../../src/check/plan.ts';
import fullCabCheck from '../../../src/check/plans/full-cab-check.json' with { type: 'json' };

/** Coarser than the fixed step, for speed: the rig and what is held to be true of it are simulated alike. */
const STEP_MS = 50;
/** The dials of the rig in truth: ten times as fine as the ones that the operator reads. */
const FINE = 0.1;
/** Needles may be called 10 s after their moment: by so much a cut-in reads higher by then, psi; at idle, the fastest rig of the district. */
const DRIFT: Readonly<Record<string, number>> = { cutIn: 4, differential: 4 };

export function setupFor(scenario: Scenario, profileId: string, level: RehearsalSetup['level']): RehearsalSetup {
  const profile = BUILT_IN_PROFILES.find(({ id }) => id === profileId);
  if (profile === undefined) throw new Error(`no profile ${profileId}`);
  return {
    scenario,
    level,
    plan: fullCabCheck as unknown as Plan,
    profile,
    trainee: 'P. Serrano',
    wall: '2026-05-04T07:30:00Z',
    stepMs: STEP_MS,
  };
}

/** By step, what is wrong with the rig beyond what the operator's dials can leave open. */
export type Truth = ReadonlyMap<string, string>;

/** What a check without a mistake on dials of 0.1 psi finds beyond the reading error of dials of 1 psi. */
export function truthOf(scenario: Scenario, profileId: string): Truth {
  const { rig } = scenario;
  const fine = { ...scenario, rig: { ...rig, gauge: { ...rig.gauge, resolution: FINE } } };
  const { check } = performScripted(setupFor(fine, profileId, 'silent'));
  return new Map(
    check.records.flatMap(({ id, result }) => {
      const wrong = wrongBeyond(result, rig.gauge.resolution / FINE);
      return wrong === undefined ? [] : [[id, wrong] as const];
    }),
  );
}

function wrongBeyond(result: StepResult, coarser: number): string | undefined {
  if (result.verdict !== 'fail') return undefined;
  // What was seen or felt has no reading error.
  if (result.limits.length === 0) return result.reason;
  const isBeyond = ({ figure, min, max }: AppliedLimit): boolean => {
    const found = result.figures[figure];
    if (found === undefined) return false;
    const error = coarser * found.uncertainty + (DRIFT[figure] ?? 0);
    return (max !== undefined && found.value > max + error) || (min !== undefined && found.value < min - error);
  };
  // A warning or a valve that never came fails without a figure.
  const isFigured = result.limits.some(({ figure }) => result.figures[figure] !== undefined);
  return !isFigured || result.limits.some(isBeyond) ? result.reason : undefined;
}
