import { describe, expect, it } from 'vitest';
import { dueNow } from '../../../src/check/due.ts';
import { needles, only, startOf, Walk } from './support/say.ts';

const on = (...steps: readonly string[]): Walk => new Walk(startOf({ plan: only(...steps) }));
const due = (walk: Walk): readonly [cues: readonly string[], needles: boolean] | undefined => {
  const answer = dueNow(walk.state);
  return answer && [answer.cues, answer.reading];
};

describe('what the operator alone keeps waiting for', () => {
  it('is what has to be confirmed, and needles that can be read', () => {
    expect(due(on('approach').say('chocks-set'))?.[0]).toContain('walk-round-complete');
    expect(due(on('pre-start-fill'))).toEqual([[], true]);
    const filled = on('final-fill').knowing('engine-started').sayAll('cut-out', needles(120, 120));
    expect(due(filled)).toEqual([['fast-idle-off'], false]);
    expect(due(on('governor-cut-out').knowing('engine-started').say('cut-out'))).toEqual([[], true]);
  });

  it('is nothing while the rig takes its time: it fills, a hold runs, or a window is open', () => {
    expect(due(on('governor-cut-out').knowing('engine-started'))).toBeUndefined();
    const hold = on('static-leakage').sayAll('engine-off', 'brakes-released');
    expect(due(hold)).toEqual([['settled'], false]);
    expect(due(hold.say('settled'))).toEqual([[], true]);
    expect(due(hold.say(needles(120, 120)))).toBeUndefined();
    expect(due(on('build-up').sayAll('engine-started', 'fast-idle-set'))).toBeUndefined();
  });

  it('is nothing while the check is paused, or waits for an answer', () => {
    expect(due(on('approach').say('pause'))).toBeUndefined();
    expect(due(on('approach').say('stop-check'))).toBeUndefined();
  });
});
