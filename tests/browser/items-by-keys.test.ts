import axe from 'axe-core';
import { afterEach, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { Plan } from '../../src/check/plan.ts';
import front from '../../src/items/lists/front.json';
import type { CheckScreen } from '../../src/ui/check/check-screen.ts';
import { Bench, find, mount, press, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const PLAN = { format: 'two-needles-plan', version: 1, id: 'front', title: 'Front', steps: [front] } as unknown as Plan;
/** Two buttons a row, and one press: our own target, with what is above the list and one row that is bad. */
const MOST_KEYS = front.items.length * 3 + 20;

let keys = 0;

/** What has the focus, however deep, as a screen reader tells it. */
function focused(): string {
  let element = document.activeElement;
  for (let inner = element; inner !== null; inner = inner.shadowRoot?.activeElement ?? null) element = inner;
  return element?.getAttribute('aria-label') ?? element?.textContent.replace(/\s+/g, ' ').trim() ?? '';
}

/** Presses Tab until what a screen reader tells fits, and then the space bar. */
async function pressBy(fits: RegExp): Promise<void> {
  for (let presses = 0; !fits.test(focused()); presses += 1) {
    if (presses > 40) throw new Error(`the Tab key never came to ${String(fits)}`);
    await userEvent.keyboard('{Tab}');
    keys += 1;
  }
  await userEvent.keyboard(' ');
  keys += 1;
}

it('a place of the walk is done by the keyboard alone, each button telling its item, and the class is told with what is bad', async () => {
  await mount(await new Bench().parts({ plans: [PLAN] }));
  await press('Start the check');
  const screen = await until(() => find<CheckScreen>('tn-check-screen'), 'the Check screen');
  const panel = await until(() => find('tn-items-panel'), 'the list of items');
  const left = (): string => panel.shadowRoot?.querySelector('[role="status"]')?.textContent.trim() ?? '';
  await until(() => left() === '5 of 5 left', 'what is left');
  const { height } = panel.getBoundingClientRect();
  for (const { id, title } of front.items) {
    const named = title.replaceAll(/[^\w ]/g, '.');
    if (id === 'tow-eyes') {
      await pressBy(new RegExp(`^${named}: bad …`));
      const { violations } = await axe.run(panel, { resultTypes: ['violations'] });
      expect(violations.map(({ id: rule }) => rule)).toEqual([]);
      await pressBy(/^loose ?report it/);
      await until(() => focused().startsWith(title), 'the focus back at the row');
    } else await pressBy(new RegExp(`^${named}: good`));
    if (id !== 'bumper') continue;
    await until(() => left() === '4 of 5 left', 'what is left is told');
    // No row moves under the thumb that goes on to the next.
    expect(panel.getBoundingClientRect().height).toBe(height);
  }
  await until(() => find('tn-end-screen'), 'the end of the check');
  expect(screen.isConnected).toBe(false);
  await until(() => find('*', /Tow eyes \(loose\)/), 'the defect at the end');
  expect(keys).toBeLessThanOrEqual(MOST_KEYS);
  console.info(`${keys} keys for ${front.items.length} items`);
});
