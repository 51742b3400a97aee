import { describe, expect, it } from 'vitest';
import type { CalloutEvent } from '../../../src/check/event.ts';
import { needles, only, startOf, Walk } from './support/say.ts';

/** What a first reading of the fill, heard so surely, is answered with. */
function answersTo(heard: Pick<CalloutEvent, 'confidence'> & Partial<CalloutEvent>): Walk {
  return new Walk(startOf({ plan: only('pre-start-fill') })).say(needles(75, 74), heard);
}

/** A hold with the engine off that began at 108 and 107, closed with other needles; common practice, no source. */
function heldAt(primary: number, secondary: number): Walk {
  const walk = new Walk(startOf({ plan: only('static-leakage') }));
  walk.sayAll('engine-off', 'brakes-released', 'settled', needles(108, 107));
  return walk.waitTo(walk.time + 60).say(needles(primary, secondary));
}

describe('how sure an engine has to be', () => {
  it('the embedded engine: 0.3, also in logs that do not name the engine', () => {
    for (const engine of [{ engine: 'embedded' as const }, {}]) {
      expect(answersTo({ confidence: 0.29, ...engine }).last).toMatchObject([
        { type: 'question', because: 'low-confidence' },
      ]);
      expect(answersTo({ confidence: 0.3, ...engine }).types).toContain('read-back');
    }
  });

  it('the vosk engine, whose scores are higher: 0.85', () => {
    expect(answersTo({ confidence: 0.79, engine: 'vosk' }).last).toMatchObject([
      { type: 'question', because: 'low-confidence' },
    ]);
    expect(answersTo({ confidence: 0.85, engine: 'vosk' }).types).toContain('read-back');
  });
});

describe('needles that rise in a hold', () => {
  it('by 6 psi are asked about: with the engine off nothing fills the tanks', () => {
    expect(heldAt(114, 107).last).toMatchObject([{ type: 'question', because: 'implausible' }]);
    expect(heldAt(108, 113).last).toMatchObject([{ type: 'question', because: 'implausible' }]);
  });

  it('by 3 psi are taken: two dials read to the mark, and a little parallax', () => {
    expect(heldAt(111, 107).types).toContain('read-back');
    expect(heldAt(111, 107).types).not.toContain('question');
  });
});

describe('a cut-in hardly below the cut-out', () => {
  const cutInAt = (primary: number): Walk => {
    const walk = new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in') })).knowing('engine-started');
    return walk.sayAll('cut-out', needles(124, 124), 'cut-in', needles(primary, primary));
  };

  it('by 4 psi is asked about, by 6 psi taken: governors let the pressure fall further; common practice, no source', () => {
    expect(cutInAt(120).last).toMatchObject([{ type: 'question', because: 'implausible' }]);
    expect(cutInAt(118).types).not.toContain('question');
    expect(cutInAt(118).verdict('governor-cut-in')).toBe('pass');
  });
});
