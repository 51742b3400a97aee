import type { Plan, Step } from '../../check/plan.ts';
import type { TestId } from '../../judging/measurement.ts';

/** Tests in which the parking brake is released, or air is let out until it cannot hold. */
const UNBRAKED: readonly TestId[] = ['static-leakage', 'applied-leakage', 'low-air-warning', 'spring-brake-activation'];

/** Why these steps cannot be done in this order; undefined when they can. */
export function orderFault(steps: readonly Step[]): string | undefined {
  const at = (test: TestId): number => steps.findIndex((step) => step.test === test);
  const [cutOut, cutIn] = [at('governor-cut-out'), at('governor-cut-in')];
  if (cutIn >= 0 && (cutOut < 0 || cutOut > cutIn))
    return `“${titleAt(steps, cutIn)}” is judged by its distance from the cut-out, so the governor cut-out comes before it.`;
  const [warning, popped] = [at('low-air-warning'), at('spring-brake-activation')];
  if (warning > popped && popped >= 0)
    return `The pressure falls past the low-air warning first, so it comes before “${titleAt(steps, popped)}”.`;
  const stowed = steps.findIndex(({ cues }) => cues.includes('chocks-stowed'));
  const later = steps.find(({ test }, index) => stowed >= 0 && index > stowed && UNBRAKED.includes(test));
  return later === undefined
    ? undefined
    : `“${later.title}” needs chocked wheels, so “${titleAt(steps, stowed)}”, which stows the chocks, comes after it.`;
}

/** What is allowed, yet worth a word before the plan is saved. */
export function remarksOn({ steps }: Plan): readonly string[] {
  const chocks = steps.some(({ cues }) => cues.includes('chocks-set'));
  const unbraked = steps.some(({ test }) => UNBRAKED.includes(test));
  const clock = steps.some(({ startsClock }) => startsClock !== undefined);
  const remarks = [
    !chocks && unbraked ? 'No step asks for the chocks. Chock the wheels before the brakes are released.' : '',
    clock ? '' : 'The whole-check clock does not run: no step starts it, or none after that stops it.',
  ];
  const stale = steps.filter(
    ({ from, to, instruction }) =>
      from !== undefined && to !== undefined && ![from, to].every(({ value }) => instruction.includes(String(value))),
  );
  return [
    ...remarks.filter((line) => line !== ''),
    ...stale.map(({ title }) => `The texts of “${title}” do not name the pressures of its window: correct them.`),
  ];
}

function titleAt(steps: readonly Step[], index: number): string {
  return steps[index]?.title ?? '';
}
