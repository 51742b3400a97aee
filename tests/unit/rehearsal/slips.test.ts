import { describe, expect, it } from 'vitest';
import { builtInScenarios } from '../../../src/airsystem/built-in-scenarios.ts';
import { isOmission } from '../../../src/rehearsal/omission.ts';
import { rehearse, scenario, setupOf, SLIP_IDS } from './support/rehearse.ts';

/** The step that each slip spoils, what the coach must find there, and in which words. */
const FOUND: Readonly<Record<string, readonly [step: string, kind: string, told: RegExp]>> = {
  'slip-engine-in-hold': ['static-leakage', 'not-done', /The engine was running during the hold/],
  'slip-engine-called-in-hold': [
    'static-leakage',
    'not-done',
    /the condition is engine off, and “engine started” was called/,
  ],
  'slip-brake-in-hold': ['static-leakage', 'not-done', /The pedal was pressed to 30 psi during the hold/],
  'slip-low-start': ['static-leakage', 'not-done', /the condition is both needles at 85 psi or more/],
  'slip-short-hold': ['static-leakage', 'hold-short', /after 45(\.\d)? s of 60 s/],
  'slip-pedal-eased': ['applied-leakage', 'not-done', /The pedal was let up from 30 to 10 psi during the hold/],
  'slip-engine-on-at-buzzer': ['low-air-warning', 'not-done', /The engine was running at that moment/],
  'slip-late-needles': ['low-air-warning', 'late', /too long after the moment/],
  'slip-engine-off-in-window': ['build-up', 'not-done', /The engine was off during the build-up/],
  'slip-fast-idle-off-in-window': ['build-up', 'not-done', /Fast idle was off during the build-up/],
  'slip-says-held': ['tug-test', 'fault-not-called', /spring brakes/],
};

describe('a slip in measuring that is a scenario of its own', () => {
  it('is one for each of these, and offered', () => {
    expect(SLIP_IDS).toEqual(Object.keys(FOUND).sort());
    const offered = builtInScenarios().flatMap(({ scenarios }) => scenarios.map(({ id }) => id));
    expect(offered).toEqual(expect.arrayContaining(SLIP_IDS));
  });

  it.each(SLIP_IDS)('%s: is found by the coach and named', (id) => {
    const played = scenario(id);
    const slip = played.slip ?? '';
    if (!isOmission(slip)) throw new Error(`no slip ${slip}`);
    const { report } = rehearse(setupOf(played, { stepMs: 50 }), slip);
    const [step, kind, told] = FOUND[id] ?? [];
    const named = report.findings.find((finding) => finding.step === step && finding.kind === kind);
    expect(named?.what).toMatch(told ?? /never/);
    // Nothing is held against the steps before it.
    const before = report.steps.slice(
      0,
      report.steps.findIndex((line) => line.step === step),
    );
    expect(before.map(({ score }) => score)).toEqual(before.map(() => 100));
  });
});
