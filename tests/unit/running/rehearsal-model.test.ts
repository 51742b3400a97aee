import { expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import { checkModel } from '../../../src/running/check-model-of.ts';
import type { CheckModel } from '../../../src/running/check-model.ts';
import { rehearsalModel } from '../../../src/running/rehearsal-model.ts';
import { needles, only, startOf, Walk } from '../check/support/say.ts';

const start = startOf({ plan: only('governor-cut-out', 'final-fill') });
const language = { hints: () => [], skipReasons: [] };

function asking(): CheckModel {
  const walk = new Walk(start).knowing('engine-started').sayAll('cut-out', needles(140, 139));
  return checkModel(view(walk.state), start, language);
}

it('a silent examiner does not tell that needles would fail the step; at the other levels it is asked', () => {
  const model = asking();
  expect(model.question).toMatchObject({ kind: 'reading', because: 'would-fail' });
  expect(rehearsalModel(model, 'silent', start).question).toBeUndefined();
  for (const level of ['told', 'prompted'] as const)
    expect(rehearsalModel(model, level, start).question).toEqual(model.question);
});

it('a silent examiner asks what the trainee began: whether to stop', () => {
  const walk = new Walk(start).say('stop-check');
  const model = checkModel(view(walk.state), start, language);
  expect(rehearsalModel(model, 'silent', start).question).toEqual({ kind: 'stop' });
});
