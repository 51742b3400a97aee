import { describe, expect, it } from 'vitest';
import { parse } from '../../../src/grammar/parse.ts';
import { TOUR_PHRASES, tourOf } from '../../../src/rehearsal/tour.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { rehearse, scenario, setupOf } from './support/rehearse.ts';

const { plan, profile } = setupOf(scenario('engine-31-healthy'));

describe('the two-minute tour', () => {
  it('is one real hold on a rig in order, done in two minutes, and says that it is shortened', () => {
    const tour = tourOf(plan, profile, scenario('engine-31-healthy'))!;
    expect(tour.plan.steps.map(({ id, holdSeconds }) => [id, holdSeconds])).toEqual([['static-leakage', 15]]);
    expect(tour.plan.title).toMatch(/15 s/);
    expect(tour.profile.title).toMatch(/for trials only/);
    expect(tour.scenario.told).toMatch(/shortened to 15 s/);
    const { rehearsal, report } = rehearse(setupOf(tour.scenario, { ...tour, level: 'told' }));
    expect(report.steps.map(({ step, verdict }) => [step, verdict])).toEqual([['static-leakage', 'pass']]);
    expect(rehearsal.cab.at).toBeLessThan(120_000);
  });

  it('is none where the plan has no such hold', () => {
    expect(tourOf({ ...plan, steps: [] }, profile, scenario('engine-31-healthy'))).toBeUndefined();
  });
});

describe('what the tour shows as what one can say', () => {
  const grammar = loadGrammar();
  const { needles, cues, always } = TOUR_PHRASES;
  it.each([needles, ...cues, ...always])('is understood where it is said: “%s”', (phrase) => {
    const rules = ['readings', 'cue', 'commands', 'corrected'];
    expect(parse(grammar, rules, phrase.replace(',', ''), 'psi')).toBeDefined();
  });
});
