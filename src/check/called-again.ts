import { BADNESS } from '../judging/assess.ts';
import type { TestId } from '../judging/measurement.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { pressureIn } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { CalloutEvent } from './event.ts';
import type { Say } from './flow.ts';
import { judged } from './judged.ts';
import { judgeStep } from './measure.ts';
import { currentStep } from './needs.ts';
import { ask, markLast } from './readings.ts';
import { justJudged, merged, sameNeedles, withLast } from './restate.ts';
import { changedState, type CalledReading, type CheckState, type Progress, type StepRecord } from './state.ts';

/** Needles called this soon after those that a step was judged on are the same needles called again. Ours, no source. */
const AGAIN_MS: Ms = 5_000;

/**
 * Needles called again right after a step was judged on them, before anything of the next: the same are no news; others that would make
 * its verdict worse are asked about, and take their place. Undefined for anything else.
 */
export function calledAgain(state: CheckState, event: CalloutEvent, say: Say): CheckState | undefined {
  const { meaning } = event;
  const record = justJudged(state);
  const last = record?.progress.readings.at(-1);
  const step = record === undefined ? undefined : state.start.plan.steps[record.index];
  // Needles that are called with something of the next step are that step's.
  const isAlone = meaning?.cues.length === 0 && meaning.before === undefined;
  if (meaning?.reading === undefined || !isAlone || state.restating !== undefined) return undefined;
  if (record === undefined || last === undefined || step === undefined || step.kind === 'build') return undefined;
  if (event.at > last.end + AGAIN_MS || !isUntouched(state.progress)) return undefined;
  const reading = { ...merged(last, meaning.reading, state), start: event.at, end: event.end };
  if (sameNeedles(last, reading)) return markLast(state);
  const progress = withLast(state, record.index, reading);
  const { verdict } = judgeStep(record.index, progress, state.start, state.records);
  if (BADNESS[verdict] <= BADNESS[record.result.verdict]) return undefined;
  const moved = movedOn(state, last, reading);
  if (moved === 'in time') return undefined;
  if (moved === 'too soon') return contest(state, record, reading, event, say);
  return ask(state, { reading, because: 'would-fail', replaces: record.index }, say);
}

/** A pedal that is fanned takes 3 to 5 psi with every application, and each takes a second or more; common practice, no source. */
const FANNING_PSI_PER_SECOND = 4;

/** Needles further off are not the same ones read once more. Ours, no source. */
const MISREAD_PSI = 20;

/** Whether the needles are lower because the next step has begun: its pedal is fanned. Undefined where it is not. */
function movedOn(state: CheckState, last: CalledReading, reading: CalledReading): 'in time' | 'too soon' | undefined {
  const test = currentStep(state)?.test ?? 'none';
  if (!FANNED.has(test)) return undefined;
  const falls = CIRCUITS.map((circuit) => {
    const [from, to] = [last[circuit], reading[circuit]];
    return from === undefined || to === undefined ? 0 : pressureIn(from, 'psi') - pressureIn(to, 'psi');
  });
  if (falls.some((fall) => fall < 0)) return undefined;
  const seconds = (reading.start - last.end) / 1000;
  const isOther = falls.some((fall) => fall > MISREAD_PSI);
  return isOther || falls.every((fall) => fall <= FANNING_PSI_PER_SECOND * seconds) ? 'in time' : 'too soon';
}

const FANNED: ReadonlySet<TestId> = new Set(['governor-cut-in', 'low-air-warning', 'spring-brake-activation']);

/** Needles lower than a pedal can have brought them since: one of the two was read wrongly, so that the step is marginal at best. */
function contest(
  state: CheckState,
  record: StepRecord,
  reading: CalledReading,
  event: CalloutEvent,
  say: Say,
): CheckState {
  const step = state.start.plan.steps[record.index];
  if (step === undefined) return state;
  const seconds = Math.round((reading.start - (record.progress.readings.at(-1)?.end ?? 0)) / 1000);
  const progress: Progress = {
    ...record.progress,
    contested: `“${event.heard}” was called ${String(seconds)} s later, sooner than the needles can have moved so far`,
  };
  const result = judged(state, record.index, progress);
  say({ type: 'verdict', step, result });
  const records = state.records.map((each) => (each === record ? { ...record, progress, result } : each));
  return markLast(changedState(state, { records }));
}

function isUntouched({ cues, outcome, readings, half }: Progress): boolean {
  return cues.length === 0 && outcome === undefined && readings.length === 0 && half === undefined;
}
