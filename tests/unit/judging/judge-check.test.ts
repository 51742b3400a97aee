import { describe, expect, it } from 'vitest';
import { judgeCheck } from '../../../src/judging/judge.ts';
import type { JudgedStep } from '../../../src/judging/judge.ts';
import type { StepResult, Verdict } from '../../../src/judging/result.ts';
import { hold, judged, reading } from './cases.ts';

const LIMITED = judged('fire-practice', 'static-leakage', hold([120, 120], [119, 119], 60));

function step(verdict: Verdict, required = true, more: Partial<StepResult> = {}): JudgedStep {
  return { required, result: { ...LIMITED, verdict, ...more } };
}

const UNLIMITED: JudgedStep = {
  required: true,
  result: judged('us-cdl-single', 'governor-cut-out', [reading(125, 125)]),
};
const CONFIRMED: JudgedStep = { required: true, result: judged('us-cdl-single', 'none', []) };

describe('the verdict of a check', () => {
  it.each([
    ['pass', [step('pass'), step('pass')]],
    ['marginal', [step('pass'), step('marginal')]],
    ['fail', [step('pass'), step('fail'), step('marginal')]],
    ['fail', [step('not judged'), step('fail')]],
    ['incomplete', [step('pass'), step('not judged')]],
    ['incomplete', [step('marginal'), step('not judged')]],
    ['pass', [step('pass'), step('not judged', false)]],
    ['fail', [step('pass'), step('fail', false)]],
    ['incomplete', [step('not judged', false)]],
    ['incomplete', []],
    ['pass', [CONFIRMED, step('pass'), UNLIMITED]],
    ['incomplete', [UNLIMITED]],
    ['incomplete', [CONFIRMED, UNLIMITED]],
    ['pass', [CONFIRMED]],
  ] as const)('is %s for case %#', (verdict, steps) => {
    expect(judgeCheck(steps)).toBe(verdict);
  });
});
