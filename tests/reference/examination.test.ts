import { describe, expect, it } from 'vitest';
import { AIR_BRAKE_EXAM } from '../../src/examining/rules.ts';

const part = (id: string) => AIR_BRAKE_EXAM.parts.find((each) => each.id === id);

describe('the required parts of the air brake examination', () => {
  // 49 CFR 383.113(a)(2), as read: (iii) the low-air warning activates, (iv) supply is maintained with the engine running, (v) build-up time
  // is acceptable, (vi) operational brake check. (i) and (ii), locating, naming and connections, are for the examiner to see.
  it.each(['warning', 'cut-out', 'cut-in', 'build-up', 'parking-brake', 'service-brake'])(
    'has %s from 49 CFR 383.113(a)(2)',
    (id) => {
      expect(AIR_BRAKE_EXAM.sources[part(id)?.source ?? '']).toMatchObject({ document: '49 CFR 383.113' });
    },
  );

  // Driver-licence examiner manuals: all parts are needed; one omitted or done wrongly, or the parking brake forgotten, fails the whole.
  it('fails on one omission, on one part done wrongly, and on the parking brake forgotten, by the examiner manuals', () => {
    expect(AIR_BRAKE_EXAM.fails.slice(0, 2)).toMatchObject([
      { on: ['omitted', 'said'], source: 'manual' },
      { on: ['omitted'], parts: ['parking-brake'], source: 'manual' },
    ]);
    expect(AIR_BRAKE_EXAM.fails[0]).not.toHaveProperty('parts');
  });

  // California also wants the limits spoken: each part that has one is marked by the examiner.
  it('has room for whether each limit was stated, and fails on one that was not, as California asks', () => {
    expect(AIR_BRAKE_EXAM.fails[2]).toMatchObject({ on: ['limit not stated'], profiles: ['california-cdl'] });
    const limited = AIR_BRAKE_EXAM.parts.filter(({ limit }) => limit === true).map(({ id }) => id);
    expect(limited).toEqual(
      expect.arrayContaining(['static-leakage', 'applied-leakage', 'warning', 'spring-brake', 'build-up']),
    );
  });
});
