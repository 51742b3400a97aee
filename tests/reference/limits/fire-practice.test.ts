import { describe, expect, it } from 'vitest';
import { profileOf } from '../../unit/judging/cases.ts';
import { holdsTo } from './published.ts';

describe('the fire service', () => {
  holdsTo('common practice, no source', 'practice', [
    { profile: 'fire-practice', test: 'pre-start-fill', atLeast: 70 },
    { profile: 'fire-practice', test: 'pre-start-fill', atMost: 80 },
    { profile: 'fire-practice', test: 'governor-cut-out', atMost: 130 },
    { profile: 'fire-practice', test: 'governor-cut-in', atLeast: 85 },
    { profile: 'fire-practice', test: 'static-leakage', atMost: 2 },
    { profile: 'fire-practice', test: 'applied-leakage', atMost: 3 },
    { profile: 'fire-practice', test: 'low-air-warning', atLeast: 55 },
    { profile: 'fire-practice', test: 'low-air-warning', atMost: 75 },
    { profile: 'fire-practice', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'fire-practice', test: 'spring-brake-activation', atMost: 45 },
    { profile: 'fire-practice', test: 'build-up', atMost: 45, rise: [85, 100] },
  ]);

  it('shows that published texts want more at the pedal: model manual section 5, 49 CFR 570.57, Ontario, Quebec, Saskatchewan', () => {
    const applied = profileOf('fire-practice').tests.find(({ test }) => test === 'applied-leakage');
    expect(applied?.limits[0]?.condition).toContain('at most 30 psi at the pedal');
    expect(applied?.note?.text).toMatch(/90 psi, or a full application/);
    expect(applied?.note?.source.sure).toBe('seen');
  });
});
