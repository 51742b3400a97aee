import { describe, expect, it } from 'vitest';
import { needles, only, startOf } from '../check/support/say.ts';
import { CabInTime } from './support/cab-in-time.ts';

const ENGINE_31 = { id: 'engine-31', name: 'Engine 31', unit: 'psi', fitted: { fastIdle: true } } as const;

async function cabIn(...steps: readonly string[]): Promise<CabInTime> {
  return new CabInTime(startOf({ plan: only(...steps), rig: ENGINE_31 })).open();
}

async function sayAll(cab: CabInTime, ...texts: readonly string[]): Promise<void> {
  for (const text of texts) await cab.say(text);
}

const verdictOf = ({ live }: CabInTime, id: string): string | undefined =>
  live.state?.records.find((record) => record.id === id)?.result.verdict;

/** A live check hears only what it listens for; this is what it has to listen for besides the cues of the step. */
describe('a live check, by voice', () => {
  it.each([
    ['static-leakage', ['engine off', 'brakes released', 'settled'], 'engine started'],
    ['static-leakage', ['engine off', 'brakes released', 'settled'], 'parking brake set'],
    ['applied-leakage', ['engine off', 'brakes released', 'brake applied', 'settled'], 'brakes released'],
    ['applied-leakage', ['engine off', 'brakes released', 'brake applied', 'settled'], 'engine started'],
  ] as const)(
    '%s: hears what contradicts the hold, says so, and judges nothing (%s, %s)',
    async (id, before, against) => {
      const cab = await cabIn(id, 'tug-test');
      await sayAll(cab, ...before, 'both at one ten');
      expect(cab.live.state?.phase).toBe('holding');
      await cab.pass(20_000);
      await cab.say(against);
      expect(cab.live.model?.remarks.join(' ')).toMatch(/measured again/);
      expect(cab.live.state?.phase).not.toBe('holding');
      await cab.pass(40_000);
      await cab.say('both at one ten');
      expect(verdictOf(cab, id)).toBeUndefined();
    },
  );

  it('hears a rig that moved after it was said to hold, and a word that takes it back', async () => {
    const cab = await cabIn('tug-test', 'service-brake-test');
    await sayAll(cab, 'engine started', 'parking brake set', 'chocks stowed', 'belts on', 'in drive', 'rig held');
    expect(verdictOf(cab, 'tug-test')).toBe('pass');
    await cab.say('rig moved');
    expect(verdictOf(cab, 'tug-test')).toBe('fail');
    await cab.say('rig held');
    expect(verdictOf(cab, 'tug-test')).toBe('fail');
    await cab.say('correction rig held');
    expect(verdictOf(cab, 'tug-test')).toBe('pass');
    const texts = cab.live.state?.callouts.map(({ heard }) => heard);
    expect(texts).toEqual(expect.arrayContaining(['rig moved', 'correction rig held']));
  });

  it('goes on with the next step when the operator does, and leaves the hold without a verdict', async () => {
    const cab = await cabIn('static-leakage', 'applied-leakage');
    await sayAll(cab, 'engine off', 'brakes released', 'settled', 'both at one ten');
    await cab.pass(50_000);
    await sayAll(cab, 'both at one ten', 'brake applied');
    expect(verdictOf(cab, 'static-leakage')).toBe('not judged');
    expect(cab.live.model?.step.id).toBe('applied-leakage');
  });
});

describe('a live check, by touch', () => {
  async function holding(): Promise<CabInTime> {
    const cab = await cabIn('static-leakage', 'applied-leakage');
    for (const cue of ['engine-off', 'brakes-released', 'settled']) cab.live.act({ do: 'cue', cue }, 'touch');
    cab.live.act({ do: 'reading', reading: needles(120, 120), correction: false, took: 0 }, 'touch');
    await cab.pass(1000);
    expect(cab.live.state?.phase).toBe('holding');
    return cab;
  }

  it('fails a hold by one needle that is over its limit already, once that is confirmed', async () => {
    const cab = await holding();
    await cab.pass(20_000);
    cab.live.act(
      { do: 'reading', reading: { primary: { value: 116, unit: 'psi' } }, correction: false, took: 0 },
      'touch',
    );
    await cab.pass(1000);
    expect(cab.live.state?.phase).toBe('asking');
    cab.live.act({ do: 'command', command: 'yes' }, 'touch');
    await cab.pass(1000);
    expect(verdictOf(cab, 'static-leakage')).toBe('fail');
  });

  it('keeps needles within the hold, and is not closed by them', async () => {
    const cab = await holding();
    await cab.pass(20_000);
    cab.live.act({ do: 'reading', reading: needles(119, 119), correction: false, took: 0 }, 'touch');
    await cab.pass(1000);
    expect(cab.live.state?.phase).toBe('holding');
    expect(cab.live.state?.progress.within).toHaveLength(1);
  });

  it('begins no hold with tanks that are nearly empty', async () => {
    const cab = await cabIn('static-leakage', 'applied-leakage');
    for (const cue of ['engine-off', 'brakes-released', 'settled']) cab.live.act({ do: 'cue', cue }, 'touch');
    cab.live.act({ do: 'reading', reading: needles(20, 20), correction: false, took: 0 }, 'touch');
    await cab.pass(1000);
    expect(cab.live.state?.phase).toBe('listening');
    expect(cab.live.model?.remarks.join(' ')).toMatch(/cannot begin with those needles/);
  });

  it('takes a fail back only after “correction”', async () => {
    const cab = await cabIn('tug-test', 'service-brake-test');
    for (const cue of ['engine-started', 'parking-brake-set', 'chocks-stowed', 'in-drive', 'rig-moved', 'rig-held'])
      cab.live.act({ do: 'cue', cue }, 'touch');
    await cab.pass(1000);
    expect(cab.live.state?.progress.outcome?.cue).toBe('rig-moved');
    cab.live.act({ do: 'command', command: 'correction' }, 'touch');
    cab.live.act({ do: 'cue', cue: 'rig-held' }, 'touch');
    cab.live.act({ do: 'cue', cue: 'belts-on' }, 'touch');
    await cab.pass(1000);
    expect(verdictOf(cab, 'tug-test')).toBe('pass');
  });
});
