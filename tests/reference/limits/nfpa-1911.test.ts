import { describe, expect, it } from 'vitest';
import { judged, rise } from '../../unit/judging/cases.ts';
import { holdsTo } from './published.ts';

describe('NFPA 1911-2007 chapter 6', () => {
  holdsTo('study cards', 'secondary', [
    { profile: 'nfpa-1911-2007', test: 'static-leakage', atMost: 2 },
    { profile: 'nfpa-1911-2007', test: 'build-up', atMost: 45, rise: [85, 100], engineSpeed: 'governed' },
  ]);
  holdsTo('not confirmed', 'memory', [{ profile: 'nfpa-1911-2007', test: 'applied-leakage', atMost: 3 }]);

  it('asks for the build-up at full engine speed: fast idle can pass it, not fail it', () => {
    const at = (seconds: number) =>
      judged('nfpa-1911-2007', 'build-up', rise([85, 85], [100, 100], seconds), { engineSpeed: 'operating' });
    expect(at(40).verdict).toBe('pass');
    expect(at(50)).toMatchObject({
      verdict: 'not judged',
      reason:
        'The limit is for a build-up at governed speed, and this one was at operating speed; repeat it at governed speed.',
    });
  });
});
