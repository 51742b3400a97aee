import { afterEach, describe, expect, it } from 'vitest';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import type { CheckScreen } from '../../src/ui/check/check-screen.ts';
import type { StartEvent } from '../../src/check/event.ts';
import { headOf } from '../../src/running/head-of.ts';
import { Bench, chained, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const PSI = 'psi' as const;
const screen = (): CheckScreen | undefined => find<CheckScreen>('tn-check-screen');

/** A check whose page was killed 20 s into the static leakage hold, in a store. */
async function killedInHold(bench: Bench, store: ChainedStore): Promise<void> {
  const parts = await bench.parts();
  const plan = parts.plans[0]!;
  const only = { ...plan, steps: plan.steps.filter(({ id }) => id === 'governor-cut-out' || id === 'static-leakage') };
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-03-02T07:00:00.000Z',
    plan: only,
    profile: parts.profiles[0]!,
    rig: { id: 'engine-31', name: 'Engine 31', unit: PSI },
    operator: 'A. Okafor',
    asking: 'ask',
  };
  const reading = (primary: number, secondary: number) => ({
    primary: { value: primary, unit: PSI },
    secondary: { value: secondary, unit: PSI },
  });
  const call = (at: number, cues: string[], needles?: [number, number]) =>
    ({
      type: 'callout',
      at,
      end: at + 500,
      heard: 'x',
      confidence: 1,
      source: 'voice',
      meaning: { cues, ...(needles === undefined ? {} : { reading: reading(...needles) }) },
    }) as const;
  const events = [
    start,
    call(1000, ['cut-out'], [124, 125]),
    call(5000, ['engine-off', 'brakes-released', 'settled'], [120, 121]),
  ];
  await store.begin(headOf('c1', start, undefined));
  for (const [index, event] of events.entries()) await store.append('c1', index, event);
}

describe('a check whose page was killed in the middle of a hold', () => {
  it('goes on at the same step, with the earlier verdict, and repeats the hold', async () => {
    const bench = new Bench();
    const store = await chained(await diskStore(`resume-${crypto.randomUUID()}`));
    await killedInHold(bench, store);
    await mount(await bench.parts({ store }));
    await press('Go on with it');
    await until(() => screen()?.model.step.id === 'static-leakage', 'the step');
    const { model } = screen()!;
    expect(model.verdicts.map(({ id, result }) => [id, result.verdict])).toEqual([['governor-cut-out', 'pass']]);
    expect(model.bar).toBeUndefined();
    expect(screen()?.shadowRoot?.textContent).toContain('The page was closed, so this is measured again.');
    const types = (await store.events('c1')).map(({ type }) => type);
    expect(types).toEqual(['start', 'callout', 'callout', 'interrupted', 'resumed']);
  });

  it('can be left incomplete instead, and keeps the verdicts that it has', async () => {
    const bench = new Bench();
    const store = await chained(await diskStore(`resume-${crypto.randomUUID()}`));
    await killedInHold(bench, store);
    await mount(await bench.parts({ store }));
    await press('Leave it incomplete');
    await until(() => find('button', 'Go on with it') === undefined, 'the panel to go');
    expect(await store.heads()).toMatchObject([
      { state: 'given-up', verdict: 'incomplete', steps: [{ verdict: 'pass' }] },
    ]);
  });
});

describe('a check by voice', () => {
  it('shows what was heard and how it was taken, and measures again after the microphone was lost', async () => {
    const bench = new Bench();
    await mount(await bench.parts({ ear: () => bench.fakeEar() }));
    await press('Start the check');
    const listener = await until(() => bench.listener, 'the ear');
    const say = async (text: string, at: number): Promise<void> => {
      await listener.heard({
        engine: 'embedded',
        words: [],
        text,
        start: at,
        end: at + 800,
        confidence: 1,
        rejected: false,
        clip: new Float32Array(0),
      });
      await settle();
    };
    await listener.progress(0);
    for (const [index, cue] of ['chocks set', 'walk round complete', 'mirrors set', 'ignition on'].entries())
      await say(cue, 1000 + index * 1500);
    await until(() => screen()?.model.step.id === 'pre-start-fill', 'the next step');
    await say('primary seven five secondary seven six', 9000);
    expect(screen()?.model.needles).toMatchObject({ primary: { value: 75 }, secondary: { value: 76 } });
    expect(screen()?.live.heard?.taken).toBe('understood: primary 75 psi, secondary 76 psi');
    listener.state('unavailable', 'The microphone was unplugged. The check goes on by hand.', 'microphone-lost');
    await settle();
    expect(screen()?.shadowRoot?.textContent).toContain('The microphone was unplugged.');
    await press('Engine started');
    await until(() => screen()?.model.step.id === 'governor-cut-out', 'the check to go on by hand');
  });

  it('does not take what it hears while it speaks, except to stop', async () => {
    const bench = new Bench();
    const parts = await bench.parts({ ear: () => bench.fakeEar() });
    await mount(parts);
    await press('Start the check');
    const listener = await until(() => bench.listener, 'the ear');
    const heard = (text: string, start: number) =>
      listener.heard({
        engine: 'embedded',
        words: [],
        text,
        start,
        end: start + 500,
        confidence: 1,
        rejected: false,
        clip: new Float32Array(0),
      });
    await listener.progress(0);
    parts
      .speech(() => {
        throw new Error('unused');
      })
      .onSpeaking?.(true);
    bench.now += 1000;
    await listener.progress(1000);
    await heard('chocks set', 500);
    await settle();
    expect(screen()?.live.heard).toMatchObject({ used: false, taken: 'heard while speaking, not taken' });
    expect(screen()?.model.cues.every(({ done }) => !done)).toBe(true);
    await heard('stop the check', 700);
    await until(() => find('h2', 'Stop the check here?'), 'the question');
  });
});
