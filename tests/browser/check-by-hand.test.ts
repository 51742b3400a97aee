import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { CheckScreen } from '../../src/ui/check/check-screen.ts';
import type { VerdictCard } from '../../src/ui/shared/verdict-card.ts';
import { scrolledAway, toScrollFor } from './support/in-sight.ts';
import { Bench, deep, find, mount, press as tap, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const screen = (): CheckScreen | undefined => find<CheckScreen>('tn-check-screen');
const labels = (): readonly string[] => screen()?.model.cues.map(({ label }) => label) ?? [];
const stepId = (): string | undefined => screen()?.model.step.id;

/** What a whole check with a failing leak may take by hand; our own target. */
const MOST_TAPS = 90;

/** What needles take to move, at least, in ms; those that come at once are asked about. */
const MOVING = 6_000;

/** Presses since the check was asked for. */
let taps = 0;

async function press(what: string | RegExp): Promise<void> {
  taps += 1;
  await tap(what);
}

/** On the pad, as a thumb does it: what is the same on both dials is put in once. */
async function enter(primary: number, secondary: number, pad: 'opens' | 'is opened' = 'opens'): Promise<void> {
  if (pad === 'is opened') await press('Enter the needles');
  await until(() => find('tn-reading-entry'), 'the pad');
  for (const digit of String(primary)) await press(digit);
  if (primary === secondary) {
    await press(/^Both at/);
    return;
  }
  for (const digit of String(secondary)) await press(digit);
  await press(/Take these needles/);
}

async function atStep(id: string): Promise<void> {
  await until(() => stepId() === id, `step ${id}, but the step is ${String(stepId())}`);
}

/** Looks at the screen during a hold. */
interface Look {
  readonly step: () => Promise<void>;
  readonly hold: () => Promise<void>;
  readonly pad: () => Promise<void>;
}
const TASK = ['h1', '.caution', 'tn-needle-pair', 'tn-time-bar'];
const LOOK: Look = {
  step: async () => expect(await toScrollFor(...TASK, '.cues .wanted')).toEqual([]),
  hold: async () => {
    expect(await toScrollFor(...TASK)).toEqual([]);
    expect(await scrolledAway('.strip', 'tn-needle-pair', 'tn-time-bar', '.foot')).toEqual([]);
  },
  pad: async () => expect(await toScrollFor('tn-reading-entry', 'tn-time-bar')).toEqual([]),
};

async function hold(
  bench: Bench,
  primary: number,
  secondary: number,
  [primaryAfter, secondaryAfter]: readonly [number, number],
  look?: Look,
): Promise<void> {
  await look?.step();
  await enter(primary, secondary);
  await bench.pass(5_000);
  await look?.hold();
  await bench.pass(56_000);
  await look?.pad();
  await enter(primaryAfter, secondaryAfter);
}

/** Everything up to the end of the applied leakage; `applied` is the second reading of its hold. */
async function firstHalf(bench: Bench, applied: readonly [number, number], look?: Look): Promise<void> {
  for (const cue of ['Chocks set', 'Walk round complete', 'Mirrors set', 'Ignition on']) await press(cue);
  await atStep('pre-start-fill');
  await enter(75, 75, 'is opened');
  await press('Engine started');
  await atStep('governor-cut-out');
  await bench.pass(MOVING);
  await press('Cut out');
  await enter(124, 125);
  await atStep('governor-cut-in');
  await bench.pass(MOVING);
  await press('Cut in');
  await enter(100, 101);
  await atStep('refill');
  await bench.pass(MOVING);
  await press('Cut out');
  await enter(124, 124);
  await atStep('static-leakage');
  for (const cue of ['Engine off', 'Brakes released', 'Settled']) await press(cue);
  await hold(bench, 120, 121, [120, 120]);
  await atStep('applied-leakage');
  expect(screen()?.shadowRoot?.querySelector('.note')?.textContent).toContain('at least 90 psi, or a full application');
  for (const cue of ['Brake applied', 'Settled']) await press(cue);
  await hold(bench, 112, 113, applied, look);
}

async function secondHalf(bench: Bench): Promise<void> {
  await untilTheBrakeTest(bench);
  await press('Straight stop');
  // What is worse may be seen only then: its button stays.
  expect(labels()).toEqual(['Straight stop', 'Pulled left', 'Pulled right', 'Check complete']);
  await press('Check complete');
}

async function untilTheBrakeTest(bench: Bench): Promise<void> {
  await untilTheTug(bench);
  await atStep('tug-test');
  for (const cue of ['Chocks stowed', 'Belts on', 'In drive', 'Brakes held']) await press(cue);
  await atStep('service-brake-test');
}

async function untilTheTug(bench: Bench): Promise<void> {
  await atStep('low-air-warning');
  await bench.pass(MOVING);
  await press('Buzzer');
  await enter(66, 67);
  await atStep('spring-brake-activation');
  await bench.pass(MOVING);
  await press('Valve popped');
  await enter(40, 41);
  await atStep('build-up');
  await press('Engine started');
  await press('Fast idle set');
  await bench.pass(MOVING);
  await enter(85, 85);
  await bench.pass(20_000);
  await enter(100, 100, 'is opened');
  await atStep('final-fill');
  await bench.pass(MOVING);
  await press('Cut out');
  await enter(124, 124);
  await press('Fast idle off');
}

describe('a whole check by hand', { timeout: 600_000 }, () => {
  it('goes from the start screen to a passing end with nothing but presses, and is kept', async () => {
    const bench = new Bench();
    const parts = await bench.parts();
    await mount(parts);
    await press('Start the check');
    await atStep('approach');
    await firstHalf(bench, [111, 112]);
    await secondHalf(bench);
    const title = await until(
      () => find('tn-end-screen')?.shadowRoot?.querySelector('h1')?.textContent,
      'the end screen',
    );
    expect(title).toContain('Engine 31: pass');
    const [head] = await parts.store.heads();
    expect(head).toMatchObject({ state: 'finished', verdict: 'pass', rigName: 'Engine 31' });
    const events = await parts.store.events(head?.id ?? '');
    expect(events[0]?.type).toBe('start');
    await press('Back to the start');
    expect(find('tn-past-checks')?.shadowRoot?.textContent).toContain('Engine 31');
  });

  it('asks before a leak fails the step, offers what can be done then, leaves out what would move the rig, and needs no scrolling', async () => {
    const bench = new Bench();
    await mount(await bench.parts());
    taps = 0;
    await press('Start the check');
    await atStep('approach');
    await firstHalf(bench, [112, 106], LOOK);
    await until(() => find('h2', /Heard primary 112 psi, secondary 106 psi/), 'the question');
    expect(await toScrollFor('tn-question-panel')).toEqual([]);
    const question = find('tn-question-panel')?.shadowRoot?.textContent.replace(/\s+/g, ' ');
    // The limit of common practice for an applied leakage, 3 psi a minute, stands in the profile.
    expect(question).toMatch(/7 psi.*3 psi.*“yes” means fail/);
    expect(stepId()).toBe('applied-leakage');
    await press('Yes');
    await until(() => find('h2', 'Applied leakage failed'), 'the fork');
    await tap('Pause');
    // What was pressed is on disk before the screen shows it.
    await until(() => find('button', 'Resume'), 'the pause');
    expect(await toScrollFor('h1', '.cues .wanted')).toEqual([]);
    await tap('Resume');
    await until(() => find('h2', 'Applied leakage failed'), 'the fork');
    expect(await toScrollFor('tn-fork-panel', 'h1')).toEqual([]);
    // Calling what comes next goes on as well.
    await untilTheTug(bench);
    console.log(`A check by hand with a failing leak: ${taps} taps.`);
    expect(taps).toBeLessThanOrEqual(MOST_TAPS);
    const end = await until(() => find('tn-end-screen')?.shadowRoot, 'the end screen');
    expect(end.querySelector('h1')?.textContent).toContain('fail');
    await until(() => find('[role=alert]', /Do not drive this rig/), 'the warning');
    expect(end.textContent).not.toMatch(/\bis safe\b/);
    const brakes = [...deep(end)].find((each) => each.matches('tn-verdict-card[heading^="Service"]'));
    expect((brakes as VerdictCard | undefined)?.result).toMatchObject({
      verdict: 'not judged',
      reason: 'left out: Applied leakage failed, and the rig is not moved after a fail',
    });
  });

  it('measures again after a fail, or goes on, as is chosen', async () => {
    const bench = new Bench();
    const { plans, ...parts } = await bench.parts();
    const steps =
      plans[0]?.steps.filter(({ id }) => ['pre-start-fill', 'governor-cut-out', 'final-fill'].includes(id)) ?? [];
    await mount({ ...parts, plans: plans.map((plan) => ({ ...plan, steps })) });
    await press('Start the check');
    await atStep('pre-start-fill');
    await enter(75, 75, 'is opened');
    await press('Engine started');
    await atStep('governor-cut-out');
    await bench.pass(MOVING);
    await press('Cut out');
    await enter(140, 139);
    await press('Yes');
    await press('Measure again: Governor cut-out');
    await atStep('governor-cut-out');
    expect(find('h2', 'Governor cut-out failed')).toBeUndefined();
    await press('Cut out');
    await enter(140, 139);
    await press('Yes');
    await press('Go on without moving');
    expect(find('h2', 'Governor cut-out failed')).toBeUndefined();
    expect(stepId()).toBe('final-fill');
  });

  it('asks for the missing needle alone, and keeps a note that is typed', async () => {
    const bench = new Bench();
    const parts = await bench.parts();
    await mount(parts);
    await press('Start the check');
    await atStep('approach');
    for (const cue of ['Chocks set', 'Walk round complete', 'Mirrors set', 'Ignition on']) await press(cue);
    await atStep('pre-start-fill');
    await press('Enter the needles');
    for (const key of ['7', '5']) await press(key);
    await press(/Take these needles/);
    await until(() => find('input[name=secondary]'), 'the pad for the other needle');
    expect(find('input[name=primary]')).toBeUndefined();
    for (const key of ['7', '4']) await press(key);
    await press(/Take these needles/);
    await until(() => screen()?.model.needles.secondary?.value === 74, 'both needles');
    expect(screen()?.model.needles.primary?.value).toBe(75);
    await press('More');
    await press(/Take a .*note/);
    const field = await until(() => find<HTMLInputElement>('input[name=note]'), 'the note');
    await userEvent.fill(field, 'left rear hose chafed');
    await press('Keep the note');
    await until(() => find('input[name=note]') === undefined, 'the end of the note');
    const [head] = await parts.store.heads();
    expect((await parts.store.events(head?.id ?? '')).at(-1)).toMatchObject({ heard: 'left rear hose chafed' });
  });

  it('takes a thumb that bounces as one press, and moves no button', async () => {
    const bench = new Bench();
    await mount(await bench.parts());
    await press('Start the check');
    await atStep('approach');
    const before = labels();
    const chocks = find('button', 'Chocks set')!;
    await userEvent.dblClick(chocks);
    await until(() => screen()?.model.cues[0]?.done, 'the cue');
    expect(screen()?.model.cues.map(({ done }) => done)).toEqual([true, false, false, false]);
    expect(labels()).toEqual(before);
    // A press elsewhere, however soon, is another press.
    await userEvent.click(find('button', 'Mirrors set')!);
    await until(() => screen()?.model.cues[2]?.done, 'the other cue');
  });
});
