import { describe, expect, it } from 'vitest';
import type { CoachReport } from '../../../src/rehearsal/coach.ts';
import type { PastRehearsal } from '../../../src/rehearsal/progress.ts';
import { pastOf, progressOf } from '../../../src/rehearsal/progress.ts';
import { scenario, setupOf } from './support/rehearse.ts';

function past(day: number, score: number, more: Partial<PastRehearsal> = {}): PastRehearsal {
  return {
    trainee: 'P. Serrano',
    wall: `2026-05-${String(day).padStart(2, '0')}T07:30:00Z`,
    scenario: 'engine-31-healthy',
    level: 'silent',
    score,
    steps: [{ step: 'tug-test', score }],
    kinds: score === 100 ? [] : ['late'],
    ...more,
  };
}

describe('the progress of a trainee', () => {
  it('is of that trainee alone, from the oldest to the newest, whatever the order they are kept in', () => {
    const progress = progressOf([past(3, 90), past(1, 70), past(2, 99, { trainee: 'A. Okafor' })], 'P. Serrano');
    expect(progress?.scores.map(({ score }) => score)).toEqual([70, 90]);
    expect(progress).toMatchObject({ latest: 90, best: 90, clean: 0 });
    expect(progressOf([past(1, 70)], 'M. Lindqvist')).toBeUndefined();
  });

  it('orders by the moment, not by the text of the time', () => {
    const early = past(1, 10, { wall: '2026-05-01T23:00:00-08:00' });
    const late = past(1, 20, { wall: '2026-05-02T06:00:00Z' });
    expect(progressOf([early, late], 'P. Serrano')?.latest).toBe(10);
  });

  it('tells the gain of the latest three over the three before, and not from fewer', () => {
    const six = [60, 62, 64, 80, 82, 84].map((score, index) => past(index + 1, score));
    expect(progressOf(six, 'P. Serrano')?.gain).toBeCloseTo(20, 9);
    expect(progressOf(six.slice(1), 'P. Serrano')?.gain).toBeUndefined();
  });

  it('names the weakest steps and what keeps happening, of the latest three only', () => {
    const old = past(1, 0, { steps: [{ step: 'approach', score: 0 }], kinds: ['caution'] });
    const steps = (tug: number, build: number): PastRehearsal['steps'] => [
      { step: 'approach', score: 100 },
      { step: 'tug-test', score: tug },
      { step: 'build-up', score: build },
    ];
    const recent = [
      past(2, 90, { steps: steps(50, 100), kinds: ['caution', 'late', 'late'] }),
      past(3, 90, { steps: steps(100, 84), kinds: ['late'] }),
      past(4, 90, { steps: steps(100, 84), kinds: ['late', 'missing'] }),
    ];
    const progress = progressOf([old, ...recent], 'P. Serrano');
    expect(progress?.weakest.map(({ step }) => step)).toEqual(['tug-test', 'build-up']);
    expect(progress?.weakest[0]?.mean).toBeCloseTo(250 / 3, 9);
    expect(progress?.recurring).toEqual(['late']);
  });

  it('is kept from a report with what it needs', () => {
    const report: CoachReport = {
      score: 98,
      steps: [{ step: 'tug-test', title: 'Tug test', score: 84, verdict: 'pass', from: 0, to: 1 }],
      // The very same in two steps is one thing to learn, on the sheet as in the progress.
      findings: ['tug-test', 'service-brake-test'].map((step) => ({
        ...{ kind: 'late', step, at: 1, what: 'Late.', curve: [] },
      })),
      faults: [],
    };
    expect(pastOf(setupOf(scenario('ladder-36-leaking'), { level: 'told' }), report)).toEqual({
      trainee: 'P. Serrano',
      wall: '2026-05-04T07:30:00Z',
      scenario: 'ladder-36-leaking',
      level: 'told',
      score: 98,
      steps: [{ step: 'tug-test', score: 84 }],
      kinds: ['late'],
    });
  });
});
