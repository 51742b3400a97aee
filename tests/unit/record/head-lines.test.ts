import { expect, it } from 'vitest';
import type { CheckView } from '../../../src/check/view.ts';
import { headSteps } from '../../../src/record/head-lines.ts';

/** What a list of checks shows of one figure under these limits; every number is made up. */
function shown(limits: readonly object[]): unknown {
  const result = { figures: { cutOut: { value: 122, unit: 'psi' } }, limits };
  const steps = [{ id: 'step', title: 'Step', verdict: 'pass', result }] as unknown as CheckView['results'];
  return headSteps(steps)[0]?.figures;
}

const FIGURE = { name: 'cutOut', value: 122, unit: 'psi' };

it.each([
  ['no limit', [], FIGURE],
  ['a limit of another figure', [{ figure: 'cutIn', min: 85, max: 110, unit: 'psi' }], FIGURE],
  ['a lower limit', [{ figure: 'cutOut', min: 100, unit: 'psi' }], { ...FIGURE, min: 100, limitUnit: 'psi' }],
  ['an upper limit', [{ figure: 'cutOut', max: 130, unit: 'psi' }], { ...FIGURE, max: 130, limitUnit: 'psi' }],
  [
    'several limits: the strictest from each side',
    [
      { figure: 'cutOut', min: 100, max: 145, unit: 'psi' },
      { figure: 'cutOut', min: 110, max: 150, unit: 'psi' },
    ],
    { ...FIGURE, min: 110, max: 145, limitUnit: 'psi' },
  ],
])('a figure in the list of checks, with %s', (_, limits, figure) => {
  expect(shown(limits)).toEqual([figure]);
});
