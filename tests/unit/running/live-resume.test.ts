import { describe, expect, it } from 'vitest';
import type { CalloutEvent } from '../../../src/check/event.ts';
import { only, startOf } from '../check/support/say.ts';
import { CabInTime } from './support/cab-in-time.ts';

const LAST: CalloutEvent = {
  type: 'callout',
  at: 41_000,
  end: 42_710,
  heard: 'engine off brakes released settled',
  confidence: 1,
  source: 'voice',
  meaning: { cues: ['engine-off', 'brakes-released', 'settled'] },
};

describe('a check that goes on after its page was closed', () => {
  it('goes on where the last words ended, so that no later words lie within them', async () => {
    const cab = await new CabInTime(startOf({ plan: only('static-leakage') }), { earlier: [LAST] }).open();
    await cab.say('both at one ten');
    const [interrupted, resumed, needles] = cab.events;
    expect([interrupted?.type, resumed?.type, needles?.type]).toEqual(['interrupted', 'resumed', 'callout']);
    expect(interrupted?.at).toBe(LAST.end);
    expect(needles?.at).toBeGreaterThan(LAST.end);
  });
});
