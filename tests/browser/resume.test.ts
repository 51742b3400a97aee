import { afterEach, describe, expect, it, vi } from 'vitest';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import type { CheckScreen } from '../../src/ui/check/check-screen.ts';
import type { StartEvent } from '../../src/check/event.ts';
import { headOf } from '../../src/running/head-of.ts';
import { tellUnhandled } from '../../src/ui/shell/last-resort.ts';
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
    call(200, ['engine-started']),
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
    await until(
      () => screen()?.shadowRoot?.textContent.includes('The page was closed, so this is measured again.'),
      'the reason',
    );
    const types = (await store.events('c1')).map(({ type }) => type);
    expect(types).toEqual(['start', 'callout', 'callout', 'callout', 'interrupted', 'resumed']);
  });

  it('can be left incomplete instead, and keeps the verdicts that it has', async () => {
    const bench = new Bench();
    const store = await chained(await diskStore(`resume-${crypto.randomUUID()}`));
    await killedInHold(bench, store);
    await mount(await bench.parts({ store }));
    await press('Close it as incomplete');
    await until(() => find('button', 'Go on with it') === undefined, 'the panel to go');
    expect(await store.heads()).toMatchObject([
      { state: 'given-up', verdict: 'incomplete', steps: [{ verdict: 'pass' }] },
    ]);
  });
});

describe('the Check screen', () => {
  const utterance = (text: string, at: number) => ({
    engine: 'embedded' as const,
    words: [],
    text,
    start: at,
    end: at + 800,
    confidence: 1,
    rejected: false,
    clip: new Float32Array(0),
  });

  /** A check of the first hold alone, by voice. */
  async function atHold(): Promise<{ bench: Bench; say: (text: string) => Promise<void> }> {
    const bench = new Bench();
    const parts = await bench.parts({ ear: () => bench.fakeEar() });
    const part = ['governor-cut-out', 'static-leakage', 'tug-test'];
    const steps = parts.plans[0]!.steps.filter(({ id }) => part.includes(id));
    await mount({ ...parts, plans: [{ ...parts.plans[0]!, id: 'part', steps }] });
    await press('Start the check');
    const listener = await until(() => bench.listener, 'the ear');
    await listener.progress(0);
    let at = 0;
    const say = async (text: string): Promise<void> => {
      await listener.heard(utterance(text, (at += 1500)));
      await settle();
    };
    await say('engine started');
    return { bench, say };
  }

  it('leaves the focus on the answer while a question is open, whatever else comes', async () => {
    const { say } = await atHold();
    await say('governor cut out');
    // Above any cut-out: asked before it fails the step.
    await say('primary one fifty secondary one fifty');
    const yes = await until(() => find<HTMLButtonElement>('button', 'Yes'), 'the question');
    yes.focus();
    await say('how long left');
    const asked = find('tn-question-panel')?.shadowRoot;
    expect(asked?.activeElement?.textContent.trim()).toBe('Yes');
  });

  it('keeps “Why?” open at its own verdict when another comes before it', async () => {
    const { say } = await atHold();
    await say('governor cut out');
    await say('primary one twenty four secondary one twenty five');
    const open = (): (string | undefined)[] =>
      [...(screen()?.shadowRoot?.querySelectorAll('tn-verdict-card') ?? [])]
        .filter((card) => card.shadowRoot?.querySelector('details')?.open)
        .map((card) => card.heading);
    screen()!.shadowRoot!.querySelector('tn-verdict-card')!.shadowRoot!.querySelector('details')!.open = true;
    const [before] = open();
    await press('Skip');
    await press('No time');
    await until(() => screen()!.model.verdicts.length === 2, 'the second verdict');
    await settle();
    expect(before).toBe('Governor cut-out');
    expect(open()).toEqual([before]);
  });

  it('has the places of what is announced in the page before anything is announced in them', async () => {
    const { say } = await atHold();
    const live = (): Element[] => [...(screen()?.shadowRoot?.querySelectorAll('[role=status]') ?? [])];
    const before = live();
    expect(before.map((place) => place.textContent.trim())).toEqual(['', '']);
    await say('governor cut out');
    // One needle alone: the other is asked for.
    await say('primary one twenty four');
    expect(before[0]?.textContent).toContain('The secondary needle is still missing.');
    expect(live()).toEqual(before);
  });

  it('is not drawn anew for time and sound alone', async () => {
    const { bench, say } = await atHold();
    await say('governor cut out');
    const drawn = vi.spyOn(screen()!, 'requestUpdate');
    bench.listener!.level({ level: -20, floor: -50, snr: 30, clipped: false }, 3000);
    await bench.pass(5000);
    const meter = await until(() => find('tn-level-meter [role=meter]') ?? find('[role=meter]'), 'the level');
    expect(meter.getAttribute('aria-valuetext')).toContain('-20 dB');
    expect(drawn).not.toHaveBeenCalled();
  });
});

describe('a fault that nobody handles', () => {
  it('is told once, in plain words', () => {
    const page = new EventTarget();
    const lines: string[] = [];
    tellUnhandled(page, (line) => lines.push(line));
    for (let times = 0; times < 2; times += 1) {
      const reason = new Error('the state has no such step');
      page.dispatchEvent(new PromiseRejectionEvent('unhandledrejection', { promise: Promise.resolve(), reason }));
    }
    page.dispatchEvent(new ErrorEvent('error', { error: new Error('another') }));
    expect(lines).toHaveLength(2);
    expect(lines[0]).toMatch(/failed \(the state has no such step\).*reload this page/);
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

  it('takes what it hears while it speaks', async () => {
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
      .onSpeaking?.({ phrases: ['level ground'], inMs: 0 });
    bench.now += 1000;
    await listener.progress(1000);
    await heard('chocks set', 500);
    await settle();
    expect(screen()?.live.heard).toMatchObject({ words: 'chocks set', used: true });
    expect(screen()?.model.cues.filter(({ done }) => done)).toHaveLength(1);
  });
});
