import type { Fault } from '../airsystem/fault.ts';
import { dial } from '../airsystem/gauges.ts';
import { judgeStep } from '../check/measure.ts';
import type { CalledReading, Progress, StepRecord } from '../check/state.ts';
import { faultWords, testsShowing } from './fault-words.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { findingIn, movedIn, sampleAt } from './play.ts';

/** What became of one fault of the scenario. */
export interface FaultCalled {
  readonly fault: Fault;
  /** For a sentence: "a leak of 4 psi a minute in the primary circuit, …". */
  readonly words: string;
  /** `called`: a step that shows it was failed; `missed`: it showed, and none was; `hidden`: too small to put any needle outside a limit. */
  readonly outcome: 'called' | 'missed' | 'hidden';
  /** Steps that were failed, or should have been. */
  readonly steps: readonly string[];
}

/** A step that cannot be measured because of a fault may also be skipped, out of service. */
const OUT_OF_SERVICE = 'out of service';

/** Each fault of the scenario, and whether it was called by failing a step that shows it. */
export function faultsCalled(play: Play): FaultCalled[] {
  const truth = truthOf(play);
  return play.faults.map((fault) => {
    const tests = testsShowing(fault);
    const own = play.steps.filter(({ step }) => tests.includes(step.test));
    const failed = own.filter((played) => isFailed(played.record));
    const showing = own.filter((played) => showsIn(played, truth));
    const known = own.length > 0 && own.every(({ record }) => record?.outcome === 'judged');
    // What was not measured may have shown the fault.
    const due = showing.length > 0 || known ? showing : own;
    const outcome = failed.length > 0 ? 'called' : due.length > 0 ? 'missed' : 'hidden';
    return {
      fault,
      words: faultWords(fault),
      outcome,
      steps: (failed.length > 0 ? failed : due).map(({ step }) => step.id),
    };
  });
}

/** Faults that were not called, at the first step that should have been failed; only when the rehearsal is over. */
export function coachFaults(play: Play, called: readonly FaultCalled[]): Finding[] {
  if (play.check.phase !== 'done') return [];
  return called
    .filter(({ outcome }) => outcome === 'missed')
    .flatMap(({ words, steps }) => {
      const played = play.steps.find(({ step }) => step.id === steps[0]);
      if (played === undefined) return [];
      const at = played.progress.readings.at(-1)?.start ?? played.progress.outcome?.at ?? played.to;
      return [findingIn(play, 'fault-not-called', played, at, `Not called: ${words}.`)];
    });
}

/** The brakes moved, or did not, otherwise than was called; a weak hold that was not noticed is a fault not called instead. */
export function coachObserved(play: Play): Finding[] {
  return play.steps.flatMap((played) => {
    const { outcome } = played.progress;
    const moved = didMove(play, played);
    if (outcome === undefined || moved === undefined) return [];
    const said = outcome.cue === 'rig-moved';
    if (said === moved || (moved && play.faults.some((fault) => testsShowing(fault).includes(played.step.test))))
      return [];
    const what = moved ? 'The rig moved, and it was called held.' : 'The rig did not move, and it was called moved.';
    return [findingIn(play, 'wrong-reading', played, outcome.at, what)];
  });
}

function isFailed(record: StepRecord | undefined): boolean {
  if (record?.outcome === 'skipped') return record.result.reason.includes(OUT_OF_SERVICE);
  return record?.result.verdict === 'fail';
}

/** Whether the rig moved while it was to be held; undefined in other steps. */
function didMove(play: Play, played: PlayedStep): boolean | undefined {
  const { step, progress } = played;
  if (step.test !== 'tug-test' && step.test !== 'hand-valve-test') return undefined;
  return movedIn(play, played, progress.outcome?.at ?? play.cab.at) !== undefined;
}

/** The records as they would be, had every needle been called as the dial showed it, and everything felt as it was. */
function truthOf(play: Play): readonly StepRecord[] {
  const { cab, check } = play;
  const read = (reading: CalledReading): CalledReading => ({
    ...reading,
    ...dial({ ...cab.air, needles: sampleAt(cab, reading.start) }),
  });
  const records = check.records.map((record) => {
    const played = play.steps.find(({ index }) => index === record.index);
    const moved = played === undefined ? undefined : didMove(play, played);
    const { outcome } = record.progress;
    const progress: Progress = {
      ...record.progress,
      readings: played?.step.kind === 'build' ? record.progress.readings : record.progress.readings.map(read),
      ...(moved === true && outcome !== undefined ? { outcome: { ...outcome, cue: 'rig-moved' } } : {}),
    };
    return { ...record, progress };
  });
  return records.map((record) =>
    record.outcome === 'judged'
      ? { ...record, result: judgeStep(record.index, record.progress, check.start, records) }
      : record,
  );
}

function showsIn({ index }: PlayedStep, truth: readonly StepRecord[]): boolean {
  return truth.find((record) => record.index === index)?.result.verdict === 'fail';
}
