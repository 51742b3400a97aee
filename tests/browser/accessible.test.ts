import { afterEach, describe, expect, it } from 'vitest';
import { Bench, find, mount, press, until } from './support/parts.ts';
import { violations } from './support/violations.ts';

afterEach(() => document.body.replaceChildren());

describe.each(['day', 'night', 'red'])('the screens by %s', (theme) => {
  async function open(): Promise<Bench> {
    const bench = new Bench();
    bench.stored.set('settings', { theme });
    await mount(await bench.parts());
    expect(document.documentElement.dataset['theme']).toBe(theme);
    return bench;
  }

  it('have no violation on the start screen, its settings and the form of a rig', async () => {
    await open();
    expect(await violations()).toEqual([]);
    await press('Settings');
    expect(await violations()).toEqual([]);
    await press('Close');
    await press(/^Edit Engine 31$/);
    expect(await violations()).toEqual([]);
  });

  it('have no violation on the Check screen: cues, number pad, questions, keys', async () => {
    await open();
    await press('Start the check');
    await until(() => find('tn-check-screen'), 'the Check screen');
    expect(await violations()).toEqual([]);
    for (const cue of ['Chocks set', 'Walk round complete', 'Mirrors set', 'Ignition on', 'Enter the needles'])
      await press(cue);
    expect(await violations()).toEqual([]);
    await press('Skip');
    await until(() => find('h2', 'Why is this step skipped?'), 'the question');
    expect(await violations()).toEqual([]);
    await press('Not fitted');
    await press('More');
    expect(await violations()).toEqual([]);
  });

  it('have no violation in an examination, from its first screen to its end', async () => {
    await open();
    const box = await until(() => find<HTMLInputElement>('input[name=examination]'), 'the choice');
    box.checked = true;
    await press('Start the check');
    await until(() => find('tn-exam-screen')?.shadowRoot?.querySelector('input[name=text]'), 'the examination');
    expect(await violations()).toEqual([]);
    await press('End the examination');
    await press('Yes, end it');
    await until(() => find('tn-exam-end')?.shadowRoot?.querySelector('form'), 'the end');
    expect(await violations()).toEqual([]);
  });

  it('have no violation on the end screen', async () => {
    await open();
    await press('Start the check');
    await press('Stop');
    await press('Yes, stop');
    await until(() => find('tn-end-screen'), 'the end screen');
    expect(await violations()).toEqual([]);
  });
});
