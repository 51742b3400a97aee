import { isAdverse, movedBy } from './cab.ts';
import type { CalloutEvent } from './event.ts';
import { gained, type Say } from './flow.ts';
import { judgeStep } from './measure.ts';
import { currentStep } from './needs.ts';
import type { Step } from './plan.ts';
import { markTaken, RESTATE_MS } from './readings.ts';
import type { CheckState, StepRecord } from './state.ts';

/** The state with what was seen or felt, or the moment that was called; its conditions are judged on the cab before it. */
export function withOutcome(state: CheckState, cue: string, event: CalloutEvent): CheckState {
  return {
    ...state,
    cab: movedBy(state.cab, [cue], event),
    progress: { ...state.progress, outcome: { cue, at: event.at }, cab: state.cab },
  };
}

/**
 * An adverse cue of a step that is behind us: the step is judged again on it, however well it went before. Undefined when the callout has
 * none, or the step under way waits for it itself and has begun.
 */
export function calledAdverse(state: CheckState, step: Step, event: CalloutEvent, say: Say): CheckState | undefined {
  for (const cue of event.meaning?.cues ?? []) {
    if (!isAdverse(cue) || (step.outcomes?.includes(cue) === true && isBegun(state))) continue;
    const record = lastWith(state, cue);
    if (record === undefined || record.progress.outcome?.cue === cue) continue;
    return judgedOn(state, record, cue, event, say);
  }
  return undefined;
}

function isBegun({ progress }: CheckState): boolean {
  return progress.cues.length > 0 || progress.outcome !== undefined;
}

/** "Correction, rig held": what was seen or felt is replaced, in this step or in the last one that it belongs to. */
export function correctOutcome(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const step = currentStep(state);
  const settled = { ...state, restating: undefined };
  for (const cue of event.meaning?.cues ?? []) {
    if (step?.outcomes?.includes(cue) === true) {
      const next = markTaken(withOutcome(settled, cue, event), { callouts: [state.callouts.length - 1] });
      return gained(settled, next, { cue, reading: false }, say);
    }
    const record = lastWith(state, cue);
    if (record !== undefined) return judgedOn(settled, record, cue, event, say);
  }
  say({ type: 'not-here', command: 'correction' });
  return settled;
}

/** True for a bare "correction" that follows something seen or felt. */
export function correctsOutcome(state: CheckState): boolean {
  const last = state.callouts.slice(-9, -1).findLast(({ taken }) => taken);
  return last?.meaning?.reading === undefined && (last?.meaning?.cues ?? []).some((cue) => isOutcome(state, cue));
}

/** True when the callout says what a bare "correction" before it was about. */
export function isOutcomeRestated(state: CheckState, event: CalloutEvent): boolean {
  const { restating } = state;
  if (restating?.outcome !== true || event.at > restating.since + RESTATE_MS) return false;
  return (event.meaning?.cues ?? []).some((cue) => isOutcome(state, cue));
}

function isOutcome(state: CheckState, cue: string): boolean {
  return currentStep(state)?.outcomes?.includes(cue) === true || lastWith(state, cue) !== undefined;
}

function lastWith({ records, start }: CheckState, cue: string): StepRecord | undefined {
  return records.findLast(
    ({ outcome, index }) => outcome === 'judged' && start.plan.steps[index]?.outcomes?.includes(cue) === true,
  );
}

function judgedOn(state: CheckState, record: StepRecord, cue: string, event: CalloutEvent, say: Say): CheckState {
  const step = state.start.plan.steps[record.index];
  if (step === undefined) return state;
  const progress = { ...record.progress, outcome: { cue, at: event.at } };
  const result = judgeStep(record.index, progress, state.start, state.records);
  say({ type: 'verdict', step, result });
  const records = state.records.map((each) => (each === record ? { ...record, progress, result } : each));
  const moved = { ...state, records, cab: movedBy(state.cab, [cue], event) };
  return markTaken(moved, { callouts: [state.callouts.length - 1] });
}
