import { describe, expect, it } from 'vitest';
import { only, startOf } from '../check/support/say.ts';
import { CabInTime } from './support/cab-in-time.ts';

const ENGINE_31 = { id: 'engine-31', name: 'Engine 31', unit: 'psi', fitted: { fastIdle: true } } as const;

/** A step of each kind: what is said before the trouble and, `seconds` after that, what is said after it. */
const STEPS = {
  confirm: {
    step: 'approach',
    before: ['chocks set', 'walk round complete'],
    seconds: 1,
    after: ['mirrors set', 'ignition on'],
  },
  reading: {
    step: 'pre-start-fill',
    before: ['engine started'],
    seconds: 1,
    after: ['primary eighty secondary eighty'],
  },
  event: {
    step: 'governor-cut-out',
    before: ['engine started', 'governor cut out'],
    seconds: 1,
    after: ['primary one twenty four secondary one twenty four'],
    // Needles that come long after their moment are not those of the moment.
    again: { open: ['governor cut out'], close: ['primary one twenty four secondary one twenty four'] },
  },
  // 2.5 psi in 61 s, where 2 a minute are allowed.
  hold: {
    step: 'static-leakage',
    before: ['engine off', 'brakes released', 'settled', 'primary one eighteen secondary one eighteen'],
    seconds: 60,
    after: ['primary one fifteen and a half secondary one fifteen and a half'],
    // The call that would have ended the hold began it anew.
    again: { open: [], close: ['primary one thirteen secondary one thirteen'] },
  },
  // From 85 to 100 psi within 45 s.
  build: {
    step: 'build-up',
    before: ['engine started', 'fast idle set', 'both eighty five'],
    seconds: 60,
    after: ['both one hundred'],
    again: { open: ['both eighty five'], close: ['both one hundred'] },
  },
  observe: {
    step: 'tug-test',
    before: ['engine started', 'parking brake set', 'chocks stowed', 'belts on', 'in drive'],
    seconds: 1,
    after: ['rig held'],
  },
} as const;
type Kind = keyof typeof STEPS;

const TROUBLES = {
  'the time of day is set 30 s forward': (cab: CabInTime) => cab.setTimeOfDay(30_000),
  'the time of day is set 30 s back': (cab: CabInTime) => cab.setTimeOfDay(-30_000),
  'the device sleeps for 90 s, and its steady clock with it': (cab: CabInTime) => cab.sleep(90_000, false),
  'the device sleeps for 90 s, and its steady clock goes on': (cab: CabInTime) => cab.sleep(90_000, true),
} as const;
type Trouble = keyof typeof TROUBLES;

async function through(kind: Kind, trouble?: Trouble): Promise<CabInTime> {
  const { step, before, seconds, after } = STEPS[kind];
  const cab = await new CabInTime(startOf({ plan: only(step, 'service-brake-test'), rig: ENGINE_31 })).open();
  for (const text of before) await cab.say(text);
  await cab.pass(seconds * 500);
  if (trouble !== undefined) TROUBLES[trouble](cab);
  await cab.pass(seconds * 500);
  await sayAll(cab, after);
  return cab;
}

async function sayAll(cab: CabInTime, texts: readonly string[]): Promise<void> {
  for (const text of texts) {
    await cab.say(text);
    if (cab.live.state?.phase === 'asking') await cab.say('yes');
  }
}

function verdict(cab: CabInTime): string | undefined {
  return cab.live.state?.records[0]?.result.verdict;
}

const KINDS = Object.keys(STEPS) as Kind[];
const EVERY = (Object.keys(TROUBLES) as Trouble[]).flatMap((trouble) => KINDS.map((kind) => ({ kind, trouble })));

describe('a step in whose middle', () => {
  it.each(EVERY)(
    '$trouble ($kind) is judged by the true time, or measured again with the reason',
    async ({ kind, trouble }) => {
      const truth = verdict(await through(kind));
      const cab = await through(kind, trouble);
      if (verdict(cab) !== undefined) {
        expect(verdict(cab)).toBe(truth);
        return;
      }
      expect(['hold', 'build', 'event']).toContain(kind);
      expect(cab.live.model?.remarks.join(' ')).toMatch(/measured again/);
      // Measured once more, it comes to the true verdict.
      const { seconds, again } = STEPS[kind as 'hold' | 'build' | 'event'];
      await sayAll(cab, again.open);
      await cab.pass(seconds * 1000);
      await sayAll(cab, again.close);
      expect(verdict(cab)).toBe(truth);
    },
  );

  it.each(['hold', 'build'] as const)('nothing happens is judged (%s)', async (kind) => {
    expect(verdict(await through(kind))).toBe('fail');
  });

  it.each(['hold', 'build'] as const)('the time of day is set back is not even measured again (%s)', async (kind) => {
    const cab = await through(kind, 'the time of day is set 30 s back');
    expect(cab.events.filter(({ type }) => type === 'interrupted')).toEqual([]);
    expect(verdict(cab)).toBe('fail');
  });

  it.each(['hold', 'build'] as const)('a sleep falls is never judged across it (%s)', async (kind) => {
    for (const trouble of Object.keys(TROUBLES).slice(2) as Trouble[]) {
      const cab = await through(kind, trouble);
      expect(verdict(cab)).toBeUndefined();
      expect(cab.events.some(({ type }) => type === 'interrupted')).toBe(true);
    }
  });
});

describe('a microphone that is muted', () => {
  it.each(['hold', 'build'] as const)(
    'leaves no silence to be judged across: it is measured again (%s)',
    async (kind) => {
      const { step, before, after } = STEPS[kind];
      const cab = await new CabInTime(startOf({ plan: only(step, 'service-brake-test'), rig: ENGINE_31 })).open();
      for (const text of before) await cab.say(text);
      await cab.pass(20_000);
      await cab.mute(5000);
      await cab.pass(35_000);
      await sayAll(cab, after);
      expect(verdict(cab)).toBeUndefined();
      expect(cab.events.filter(({ type }) => type === 'interrupted')).toMatchObject([{ why: 'microphone-lost' }]);
      expect(cab.live.model?.remarks.join(' ')).toMatch(/measured again/);
    },
  );

  it('is said, and listens again once it is unmuted', async () => {
    const cab = await new CabInTime(startOf({ plan: only('approach', 'tug-test') })).open();
    const muted = cab.mute(3000);
    expect(cab.live.live).toMatchObject({ ear: 'unavailable', earLine: expect.stringContaining('muted') as string });
    await muted;
    // Words beside lost sound are not taken.
    await cab.pass(2000);
    await cab.say('chocks set');
    expect(cab.live.live.ear).toBe('listening');
    expect(cab.live.state?.progress.cues).toEqual(['chocks-set']);
  });
});

describe('the times of a check over a microphone', () => {
  it('stand still for no sleep: what is called after it is that much later', async () => {
    for (const [counts, least] of [
      [true, 90_000],
      [false, 0],
    ] as const) {
      const cab = await new CabInTime(startOf({ plan: only('approach', 'tug-test') })).open();
      await cab.say('chocks set');
      cab.sleep(90_000, counts);
      await cab.pass(1000);
      await cab.say('mirrors set');
      const [first, second] = cab.live.state?.callouts ?? [];
      // A second of the callout and one of silence, one of passing, and what the gap watch waits to be sure.
      expect((second?.at ?? 0) - (first?.at ?? 0)).toBe(least + 3000);
    }
  });

  it('are not moved by a page that is busy, and nothing is measured again', async () => {
    const cab = await new CabInTime(startOf({ plan: only('approach', 'tug-test') })).open();
    await cab.say('chocks set');
    await cab.beBusy(3000);
    await cab.say('mirrors set');
    const [first, second] = cab.live.state?.callouts ?? [];
    expect((second?.at ?? 0) - (first?.at ?? 0)).toBe(5000);
    expect(cab.events.filter(({ type }) => type === 'interrupted')).toEqual([]);
  });

  it('do not let words that sound was lost beside be taken for a callout', async () => {
    const cab = await new CabInTime(startOf({ plan: only('approach', 'tug-test') })).open();
    await cab.say('chocks set');
    // In the middle of the words.
    const saying = cab.say('mirrors set');
    cab.sleep(5000, true);
    await saying;
    expect(cab.live.state?.progress.cues).toEqual(['chocks-set']);
    expect(cab.live.state?.callouts.at(-1)).toMatchObject({ heard: 'mirrors set', taken: false });
  });
});
