import { coachActions } from './coach-actions.ts';
import { coachCallouts } from './coach-callouts.ts';
import type { FaultCalled } from './coach-faults.ts';
import { coachFaults, coachObserved, faultsCalled } from './coach-faults.ts';
import { coachMoments } from './coach-moments.ts';
import { coachReadings } from './coach-readings.ts';
import type { Finding } from './finding.ts';
import { COSTS } from './finding.ts';
import type { Performance, PlayedStep } from './play.ts';
import { playOf } from './play.ts';
import type { Verdict } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';

/** One line of the score sheet. */
interface StepScore {
  readonly step: string;
  readonly title: string;
  /** 0 to 100. */
  readonly score: number;
  /** As judged on what was called; `not judged` while the step lies ahead. */
  readonly verdict: Verdict;
  /** Its part of the timeline. */
  readonly from: Ms;
  readonly to: Ms;
}

/** What the coach says of a rehearsal. */
export interface CoachReport {
  /** 0 to 100; 100 only without any finding. */
  readonly score: number;
  readonly steps: readonly StepScore[];
  /** In order of time. */
  readonly findings: readonly Finding[];
  readonly faults: readonly FaultCalled[];
}

/**
 * Compares what was said and done with what the simulated rig did.
 *
 * Score: every step starts at 100 and loses `COSTS` of each finding in it, down to 0; a step not reached has 0. The whole is the mean of
 * the rig's steps, rounded down.
 */
export function coach(performance: Performance): CoachReport {
  const play = playOf(performance);
  const faults = faultsCalled(play);
  const findings = [
    ...coachCallouts(play),
    ...coachReadings(play),
    ...coachMoments(play),
    ...coachActions(play),
    ...coachObserved(play),
    ...coachFaults(play, faults),
  ];
  const once = findings.filter(
    (finding, index) => findings.findIndex(({ kind, step, what }) => isSame(finding, kind, step, what)) === index,
  );
  const steps = play.steps.map((played) => scoreOf(played, once));
  const mean = steps.reduce((sum, { score }) => sum + score, 0) / Math.max(1, steps.length);
  return {
    score: Math.floor(mean),
    steps,
    findings: once.sort((one, other) => one.at - other.at),
    faults,
  };
}

function isSame(finding: Finding, kind: string, step: string, what: string): boolean {
  return finding.kind === kind && finding.step === step && finding.what === what;
}

function scoreOf({ step, record, from, to, calls }: PlayedStep, findings: readonly Finding[]): StepScore {
  const cost = findings.filter((finding) => finding.step === step.id).reduce((sum, { kind }) => sum + COSTS[kind], 0);
  const reached = record !== undefined && (record.outcome !== 'unfinished' || calls.length > 0);
  const verdict = record?.result.verdict ?? 'not judged';
  return { step: step.id, title: step.title, score: reached ? Math.max(0, 100 - cost) : 0, verdict, from, to };
}
