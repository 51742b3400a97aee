import { describe, expect, it } from 'vitest';
import type { Omission } from '../../../src/rehearsal/omission.ts';
import { OMISSIONS } from '../../../src/rehearsal/omission.ts';
import { failedSteps, found, rehearse, scenario, SLIP_IDS, setupOf } from './support/rehearse.ts';

/** What the coach must find for each mistake on a rig in order, and the numbers it must tell. */
const FOUND: [Omission, string[], RegExp][] = [
  ['omit-chocks', ['caution approach'], /“chocks set” was not called/],
  ['omit-mirrors', ['missing approach'], /“mirrors set” was not called/],
  ['omit-belts', ['caution tug-test'], /“belts on” was not called/],
  // Engine 31 cuts out at 122 psi.
  ['misread', ['wrong-reading governor-cut-out'], /Primary was called 127 psi, and the needle stood at 122/],
  ['early-cut-out', ['early governor-cut-out'], /happened \d+(\.\d)? s later/],
  ['engine-left-on', ['not-done static-leakage'], /“engine off” was called, and the engine was running/],
  ['brakes-not-released', ['not-done static-leakage'], /the parking valve was out/],
  ['short-hold', ['hold-short static-leakage'], /after 45(\.\d)? s of 60 s/],
  ['needles-before-settled', ['out-of-order applied-leakage'], /before everything/],
  ['pedal-eased', ['not-done applied-leakage'], /from 30 to 10 psi/],
  [
    'pump-too-fast',
    ['fanned-too-fast governor-cut-in', 'fanned-too-fast low-air-warning', 'fanned-too-fast spring-brake-activation'],
    /for only 1 s/,
  ],
  ['late-buzzer', ['late low-air-warning'], /4\.\d s after the buzzer/],
  ['fast-idle-left-on', ['not-done final-fill'], /fast idle was left on/],
];

describe.each(FOUND)(
  'a trainee on Engine 31 in order with one mistake, %s',
  { timeout: 600_000 },
  (omission, what, told) => {
    const { report } = rehearse(setupOf(scenario('engine-31-healthy')), omission);

    it('hears of that, and of nothing else', () => {
      expect(found(report)).toEqual(what);
      for (const finding of report.findings) expect(finding.what).toMatch(told);
    });

    it('loses points in that step alone', () => {
      expect(report.score).toBeLessThan(100);
      const worse = report.steps.filter(({ score }) => score < 100).map(({ step }) => step);
      expect(worse).toEqual([...new Set(report.findings.map(({ step }) => step))]);
      expect(failedSteps(report)).toEqual([]);
    });

    it('is shown the needles around the moment, inside the step', () => {
      for (const { at, step, curve } of report.findings) {
        const line = report.steps.find((one) => one.step === step)!;
        expect(at).toBeGreaterThanOrEqual(line.from);
        expect(at).toBeLessThanOrEqual(line.to + 5_000);
        expect(curve[0]!.at).toBeLessThanOrEqual(at);
        expect(curve.at(-1)!.at).toBeGreaterThanOrEqual(at);
      }
    });
  },
);

it('each mistake that the trainee can be told to make is found somewhere', () => {
  // These three need a rig with a fault: see the tests of faults.
  const onAFault = ['guessed-hold', 'says-held', 'drives-on-a-fail'];
  // Those that are a scenario of their own: see the tests of slips.
  const slips = SLIP_IDS.map((id) => scenario(id).slip);
  expect([...new Set([...FOUND.map(([omission]) => omission), ...onAFault, ...slips])].sort()).toEqual(
    Object.keys(OMISSIONS).sort(),
  );
});

describe('a trainee who is told what is missing', { timeout: 600_000 }, () => {
  it('has the caution found all the same, and the check goes on', () => {
    const { rehearsal, report } = rehearse(setupOf(scenario('engine-31-healthy'), { level: 'told' }), 'omit-belts');
    expect(found(report)).toEqual(['caution tug-test']);
    expect(rehearsal.check.verdict).toBe('pass');
  });

  it('can call the needles within a hold, which is no mistake once the hold is finished', () => {
    const { rehearsal, report } = rehearse(setupOf(scenario('engine-31-healthy'), { level: 'prompted' }), 'short-hold');
    expect(found(report)).toEqual([]);
    expect(rehearsal.check.verdict).toBe('pass');
  });

  it('confirms the readings of a leak when asked', () => {
    const { report } = rehearse(setupOf(scenario('ladder-36-leaking'), { level: 'told' }));
    expect(report.score).toBe(100);
    expect(failedSteps(report)).toEqual(['static-leakage', 'applied-leakage']);
  });
});
