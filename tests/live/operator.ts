import type { StartEvent } from '../../src/check/event.ts';
import type { Plan } from '../../src/check/plan.ts';
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import { BRISK_AFTER_HOLD, BRISK_PACE } from '../../src/cli/assets/assets-demo.ts';
import { LIVE_AFTER_HOLD, livePace } from '../../src/running/live-pace.ts';
import { QUIET_CAB, recordOperator, type OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { loadGrammar, loadPlan, loadProfile } from '../../src/cli/shared/read-inputs.ts';
import { withHolds } from '../../src/rehearsal/short-holds.ts';
import { writeTranscript } from '../../src/cli/shared/webvtt.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import { fullCabCheckScript, type Scenario } from '../../src/rehearsal/synthetic-operator-script.ts';
import type { Utterance } from '../../src/rehearsal/synthetic-operator.ts';
import type { Outcome } from '../../src/units/outcome.ts';
import { problemLine } from '../../src/units/outcome.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';

export interface OperatorRecording {
  readonly wav: Uint8Array<ArrayBuffer>;
  readonly vtt: string;
  readonly truth: readonly Utterance[];
  readonly plan: Plan;
  readonly profile: LimitProfile;
  /** Seconds of sound. */
  readonly seconds: number;
}

/** What a busy machine may take to hear and to begin its answer, beyond what the pace allows, in ms. */
const BUSY = 1500;

/** Time for a page to load the recogniser before the operator speaks, in ms. */
const PAGE_LOAD = 12_000;

/**
 * A whole check as a synthetic operator speaks it. With `answers`, the operator waits until the tool has answered aloud
 * (in short); otherwise only a breath.
 */
export async function speakCheck(
  scenario: Scenario,
  options: { voice: OperatorVoice; holdSeconds: number; answers: boolean },
): Promise<OperatorRecording> {
  const grammar = need(await loadGrammar());
  const trial = withHolds(
    need(await loadPlan('full-cab-check', grammar)),
    need(await loadProfile('fire-practice')),
    options.holdSeconds,
  );
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-11-25T08:00:00.000Z',
    ...trial,
    rig: scenario.rig,
    operator: 'A. Okafor',
    asking: 'ask',
  };
  const answered = livePace(start, grammar, 'short');
  const pace = options.answers ? { ...answered, pause: answered.pause + BUSY } : BRISK_PACE;
  const script = fullCabCheckScript(scenario, {
    holdSeconds: options.holdSeconds,
    afterHold: options.answers ? LIVE_AFTER_HOLD : BRISK_AFTER_HOLD,
  });
  const { samples, truth } = await recordOperator(
    script,
    { voice: options.voice, pace: { ...pace, lead: pace.lead + PAGE_LOAD }, noise: QUIET_CAB, tail: 4000 },
    cachedFlite(),
  );
  return {
    wav: new Uint8Array(writeWav(samples, SAMPLE_RATE)),
    vtt: writeTranscript(truth),
    truth,
    ...trial,
    seconds: samples.length / SAMPLE_RATE,
  };
}

function need<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(problemLine(outcome.problem));
  return outcome.value;
}
