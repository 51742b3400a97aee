import { writeTranscript } from '../../src/cli/shared/webvtt.ts';
import { fullCabCheckScript, type Scenario } from '../../src/rehearsal/synthetic-operator-script.ts';
import { layOut, type Utterance } from '../../src/rehearsal/synthetic-operator.ts';

/** What the operator of a scenario says, laid out without sound: 80 ms a character, holds of `holdSeconds`. */
export function sayScenario(scenario: Scenario, holdSeconds = 60): Utterance[] {
  const script = fullCabCheckScript(scenario, { holdSeconds, afterHold: 1000 });
  return layOut(script, { lead: 1000, pause: 1500, speechLength: (text) => text.length * 80 });
}

/** A timed transcript of it. */
export function transcriptOf(scenario: Scenario, holdSeconds = 60): string {
  return writeTranscript(sayScenario(scenario, holdSeconds));
}
