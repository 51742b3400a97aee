import axe, { type RunOnly } from 'axe-core';
import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { Plan } from '../../src/check/plan.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import { Bench, deep, find, mount, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

/** Rules of WCAG 2.0 to 2.2, levels A and AA. */
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

async function violations(runOnly: RunOnly = { type: 'tag', values: TAGS }): Promise<string[]> {
  const found = await axe.run(document.body, { resultTypes: ['violations'], runOnly });
  return found.violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`));
}

function focused(): Element | null {
  let element = document.activeElement;
  for (;;) {
    const inner = element?.shadowRoot?.activeElement ?? null;
    if (inner === null) return element;
    element = inner;
  }
}

function nameOf(element: Element | null): string {
  const labels =
    element instanceof HTMLInputElement ||
    element instanceof HTMLTextAreaElement ||
    element instanceof HTMLSelectElement
      ? element.labels
      : null;
  return (labels?.[0] ?? element)?.textContent.replace(/\s+/g, ' ').trim() ?? '';
}

/** Presses Tab until the control of this name has the focus. */
async function tabTo(name: string | RegExp, key = '{Tab}'): Promise<Element> {
  const seen: string[] = [];
  for (let turn = 0; turn < 120; turn += 1) {
    const at = focused();
    const words = nameOf(at);
    if (at !== null && (typeof name === 'string' ? words === name : name.test(words))) return at;
    seen.push(words);
    await userEvent.keyboard(key);
  }
  throw new Error(`Tab never came to ${String(name)}; it came to ${[...new Set(seen)].join(' | ')}`);
}

/** Goes to the control by Tab, and presses `keys` there. */
async function at(name: string | RegExp, keys: string): Promise<void> {
  await tabTo(name);
  await userEvent.keyboard(keys);
  await settle();
}

/** Presses the control, or its label's, of this name. */
async function pressed(name: string | RegExp): Promise<void> {
  const is = (element: Element): boolean =>
    element.matches('button, input, summary') &&
    (typeof name === 'string' ? nameOf(element) === name : name.test(nameOf(element)));
  (await until(() => [...deep(document.body)].find(is) as HTMLElement | undefined, String(name))).click();
  await settle();
}

async function type(name: string | RegExp, text: string): Promise<void> {
  await at(name, `{Control>}a{/Control}${text}{Tab}`);
}

async function open(): Promise<Bench> {
  const bench = new Bench();
  bench.stored.set('settings', { theme: 'day' });
  await mount(await bench.parts());
  return bench;
}

/** Opens an editor from its button on the start screen, by Enter. */
async function openEditor(name: string): Promise<void> {
  (await until(() => find<HTMLButtonElement>('button', name), name)).focus();
  await userEvent.keyboard('{Enter}');
  await until(() => find('dialog[open] h2'), 'the editor');
}

describe('the plan editor', () => {
  it('by keyboard alone: copy, reorder, switch off, change lengths and texts, undo, save', async () => {
    const bench = await open();
    await openEditor('Copy and change Full cab check');
    await type('Title of the plan', 'Engine 31 weekly');
    await at('Refill', ' ');
    await at(/Move Static leakage down$/, '{Enter}');
    expect(nameOf(focused())).toMatch(/Move Static leakage down$/);
    await userEvent.keyboard('{Enter}');
    await at(/^Texts.* of Static leakage$/, '{Enter}');
    await type(/^Length of the hold/, '120');
    await type('Spoken when it begins', 'Let it settle, then both needles.');
    await at('Undo', '{Enter}');
    await at('Save', '{Enter}');
    const [saved] = (await until(() => bench.stored.get('plans') as Plan[] | undefined, 'the saved plan')) as [Plan];
    expect(saved.title).toBe('Engine 31 weekly');
    expect(saved.id).toBe('full-cab-check-copy');
    const ids = saved.steps.map(({ id }) => id);
    expect(ids).not.toContain('refill');
    expect(ids.slice(4, 7)).toEqual(['applied-leakage', 'low-air-warning', 'static-leakage']);
    expect(saved.steps[6]).toMatchObject({ holdSeconds: 120, brief: expect.stringMatching(/^Engine off/) as string });
    expect(find<HTMLSelectElement>('select[name=plan]')?.value).toBe(saved.id);
  });

  it('says at the step why a change is not possible, and makes none', async () => {
    await open();
    await openEditor('Copy and change Full cab check');
    const tick = (await tabTo('Governor cut-out')) as HTMLInputElement;
    await userEvent.keyboard(' ');
    await until(() => find('[role=alert]', /the governor cut-out comes before it/), 'the reason');
    expect(tick.checked).toBe(true);
  });

  it('does not save while a field is refused, and goes to that field', async () => {
    const bench = await open();
    await openEditor('Copy and change Full cab check');
    await at(/^Texts.* of Static leakage$/, '{Enter}');
    await type(/^Length of the hold/, '3000');
    await until(() => find('[role=alert]', 'A hold is 5 to 299 whole seconds.'), 'the reason');
    await at('Save', '{Enter}');
    expect(bench.stored.has('plans')).toBe(false);
    expect(nameOf(focused())).toMatch(/^Length of the hold/);
    await userEvent.keyboard('{Escape}');
    await settle();
    expect(nameOf(focused())).toBe('Go on changing');
    await at('Yes, discard', '{Enter}');
    expect(find('tn-plan-editor')).toBeUndefined();
    expect(bench.stored.has('plans')).toBe(false);
    expect(nameOf(focused())).toBe('Copy and change Full cab check');
  });
});

describe('the limits editor', () => {
  it('by keyboard alone: copy, change a value, name its source, add a limit, save', async () => {
    const bench = await open();
    await openEditor('Copy and change Fire service practice');
    await type('Title of the limits', 'Tamarack Flats limits');
    await type('At most (psi/min)', '1,5');
    await at('Condition and source of Drop of each circuit in a minute, Static leakage', '{Enter}');
    await type('Name of the document, section or page', 'SOP 12');
    await at('Add a limit', '{Enter}');
    await tabTo(/^For /);
    await userEvent.selectOptions(focused() as HTMLSelectElement, 'Governor cut-in: between cut-out and cut-in');
    await type(/^Value/, '40');
    await at('Add it', '{Enter}');
    await at('Save', '{Enter}');
    const kept = await until(() => bench.stored.get('profiles') as LimitProfile[] | undefined, 'the saved limits');
    const limits = (test: string) => kept[0]?.tests.find((entry) => entry.test === test)?.limits;
    expect(kept[0]).toMatchObject({ id: 'fire-practice-copy', title: 'Tamarack Flats limits' });
    expect(limits('static-leakage')).toMatchObject([
      { max: 1.5, source: { document: 'Department’s own limit', section: 'SOP 12', sure: 'memory' } },
    ]);
    expect(limits('governor-cut-in')?.[1]).toMatchObject({ figure: 'differential', max: 40 });
    expect(limits('applied-leakage')?.[0]?.source.sure).toBe('practice');
  });

  it('refuses a minimum above the maximum at the field, and shows how sure each source is', async () => {
    const bench = await open();
    await openEditor('Copy and change Fire service practice');
    expect(
      [...deep(document.body)].filter(
        (element) => element.matches('.limit') && /common practice, no source/.test(element.textContent),
      ),
    ).not.toHaveLength(0);
    await type('At least (psi)', '90');
    const field = [...deep(document.body)].find((element) =>
      element.matches('[aria-invalid=true]'),
    ) as HTMLInputElement;
    expect(field.value).toBe('90');
    expect(find(`#${field.getAttribute('aria-describedby') ?? ''}`)?.textContent).toMatch(
      /^The minimum 90 is above the maximum 80\./,
    );
    await at('Save', '{Enter}');
    expect(bench.stored.has('profiles')).toBe(false);
  });
});

it('both editors have no violation, with and without refusals, and nothing too faint by night', async () => {
  const inBoth = async (): Promise<string[]> => {
    const { dataset } = document.documentElement;
    const found = await violations();
    dataset['theme'] = 'night';
    const byNight = await violations({ type: 'rule', values: ['color-contrast'] });
    dataset['theme'] = 'day';
    return [...found, ...byNight];
  };
  await open();
  await openEditor('Copy and change Full cab check');
  await pressed(/^Texts.* of Static leakage$/);
  await pressed('Governor cut-out');
  await until(() => find('[role=alert]', /the governor cut-out comes before it/), 'the refusal');
  expect(await inBoth()).toEqual([]);
  await pressed('Discard');
  await openEditor('Copy and change Fire service practice');
  await pressed('Add a limit');
  await pressed('Add it');
  expect(await inBoth()).toEqual([]);
});
