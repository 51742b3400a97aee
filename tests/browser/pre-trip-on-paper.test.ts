import axe from 'axe-core';
import { afterEach, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { Plan } from '../../src/check/plan.ts';
import front from '../../src/items/lists/front.json';
import { memoryRehearsals } from '../../src/record/rehearsal-shelf.ts';
import { paperFaults, paperPlan } from '../../src/rehearsal/pre-trip/walk.ts';
import { Bench, find, mount, until } from './support/parts.ts';

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

const PLAN = { format: 'two-needles-plan', version: 1, id: 'front', title: 'Front', steps: [front] } as unknown as Plan;
/** A seed whose three faults have bent or loose tow eyes among them. */
const SEED = Array.from({ length: 200 }, (_, seed) => seed).find((seed) =>
  paperFaults(paperPlan(PLAN)!, seed, 'told').some(({ item }) => item === 'tow-eyes'),
)!;

/** What has the focus, however deep, as a screen reader tells it. */
function focused(): string {
  let element = document.activeElement;
  for (let inner = element; inner !== null; inner = inner.shadowRoot?.activeElement ?? null) element = inner;
  const label = element instanceof HTMLInputElement ? (element.labels?.[0]?.textContent ?? '') : element?.textContent;
  return element?.getAttribute('aria-label') ?? label?.replace(/\s+/g, ' ').trim() ?? '';
}

async function pressBy(fits: RegExp, key = ' '): Promise<void> {
  for (let presses = 0; !fits.test(focused()); presses += 1) {
    if (presses > 60) throw new Error(`the Tab key never came to ${String(fits)}`);
    await userEvent.keyboard('{Tab}');
  }
  await userEvent.keyboard(key);
}

const heading = (): string => find('tn-walk-run')?.shadowRoot?.querySelector('h1')?.textContent.trim() ?? '';

it('a place on paper is walked by the keyboard alone, its fault pointed at, told and found on the sheet and in the progress', async () => {
  location.hash = '#rehearse/pre-trip';
  const rehearsals = memoryRehearsals();
  await mount(await new Bench().parts({ plans: [PLAN], rehearsals }));
  const name = await until(
    () => find<HTMLInputElement>('tn-walk-setup input[name=trainee], input[name=trainee]'),
    'the form',
  );
  await userEvent.fill(name, 'P. Serrano');
  await userEvent.fill(await until(() => find<HTMLInputElement>('input[name=seed]'), 'the number'), String(SEED));
  await pressBy(/^Start the walk/);
  await until(() => heading() === 'Bumper', 'the first drawing');
  await pressBy(/^As it must be/);
  await until(() => heading() === 'Tow eyes', 'the second');
  await pressBy(/^Point at the right bolt/);
  await pressBy(/^loose/);
  // Of the two of a group, the arrow key comes to the second, and chooses it.
  await pressBy(/^out of service/, '{ArrowDown}');
  const { violations } = await axe.run(await until(() => find('tn-walk-run'), 'the walk'), {
    resultTypes: ['violations'],
  });
  expect(violations.map(({ id }) => id)).toEqual([]);
  await pressBy(/^Call it/);
  for (const { title } of front.items.slice(2)) {
    await until(() => heading() === title, title);
    await pressBy(/^As it must be/);
  }
  await pressBy(/^Check complete/);
  const sheet = await until(() => find('tn-walk-sheet'), 'the sheet');
  expect(sheet.shadowRoot!.textContent.replace(/\s+/g, ' ')).toMatch(
    /Tow eyes ✓ fault seen.*Named rightly, class right \(report it\), pointed at rightly.*loose: report it/,
  );
  expect((await axe.run(sheet, { resultTypes: ['violations'] })).violations.map(({ id }) => id)).toEqual([]);
  expect(await rehearsals.all()).toMatchObject([{ trainee: 'P. Serrano', scenario: 'pre-trip-front', level: 'told' }]);
});
