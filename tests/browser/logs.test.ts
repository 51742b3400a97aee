import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { memoryStore } from '../../src/record/memory-store.ts';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import type { EntryStore } from '../../src/record/record-store.ts';
import { loadStory } from '../../src/ui/logs/story-logs.ts';
import { Bench, chained, deep, find, mount, press, settle, until } from './support/parts.ts';
import { violations } from './support/violations.ts';

const FAILED = 'story-ladder-36-12';

let store: ChainedStore;
/** Forty checks are sealed and verified once; each test gets a copy. */
let told: EntryStore;
beforeAll(async () => {
  told = memoryStore();
  const { plans, profiles, language } = await new Bench().parts();
  await loadStory(await chained(told), {
    plan: plans[0]!,
    profile: profiles[0]!,
    lastDay: '2026-03-30',
    parse: (...said) => language.parse(...said),
  });
});

async function open(hash: string, theme: 'day' | 'night' = 'day'): Promise<void> {
  location.hash = hash;
  const bench = new Bench();
  bench.stored.set('settings', { theme });
  const inner = memoryStore();
  for (const head of await told.heads()) await inner.addLog(head, await told.entries(head.id), []);
  store = await chained(inner);
  await mount(await bench.parts({ store }));
}

const counted = (): string => find('.count')?.textContent.trim() ?? '';
const links = (): HTMLAnchorElement[] =>
  [...deep(document.body)].filter(
    (each): each is HTMLAnchorElement => each instanceof HTMLAnchorElement && each.closest('li') !== null,
  );

async function set(name: string, value: string | boolean): Promise<void> {
  const control = await until(
    () => find<HTMLInputElement>(`tn-log-filter [name=${name}], form[role=search] [name=${name}]`),
    name,
  );
  if (typeof value === 'boolean') control.checked = value;
  else control.value = value;
  control.dispatchEvent(new Event('input', { bubbles: true }));
  await settle();
}

async function choose(...files: File[]): Promise<void> {
  const input = await until(() => find<HTMLInputElement>('input[type=file][accept*=zip]'), 'the picker');
  const data = new DataTransfer();
  for (const file of files) data.items.add(file);
  input.files = data.files;
  input.dispatchEvent(new Event('change'));
}

beforeEach(() => {
  location.hash = '';
});
afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

describe('the Logs screen', () => {
  it('lists checks newest first, narrows them by rig, verdict, drift and text, and keeps the filter in the address', async () => {
    await open('#logs');
    await until(() => counted() === '40 checks', 'the count');
    expect(links()[0]?.textContent).toContain('Ladder 36');
    await set('rig', 'tender-34');
    expect(counted()).toBe('14 of 40 checks');
    await set('verdict', 'fail');
    expect(counted()).toBe('1 of 40 checks');
    expect(location.hash).toBe('#logs?rig=tender-34&verdict=fail');
    await press('Clear the filter');
    await until(() => find('tn-log-list')?.shadowRoot?.textContent.includes('rig drifts'), 'the drift to be known');
    await set('drifting', true);
    expect(counted()).toBe('13 of 40 checks');
    await set('text', 'lindqvist nowhere');
    expect(counted()).toBe('0 of 40 checks');
  });

  it('opens with the filter of the address', async () => {
    await open('#logs?step=low-air-warning&verdict=fail');
    await until(() => counted() === '1 of 40 checks', 'the one check');
    expect(links().map(({ hash }) => hash)).toEqual(['#logs/story-tender-34-05']);
  });

  it('draws only the rows in view', async () => {
    await open('#logs');
    // Until all are counted, the list holds the newest alone.
    await until(() => counted() === '40 checks' && links().length > 0, 'rows');
    expect(links().length).toBeLessThan(30);
    const scroller = await until(() => find<HTMLElement>('.scroller'), 'the scroller');
    await until(() => {
      scroller.scrollTop = scroller.scrollHeight;
      return find('li[aria-posinset="40"]');
    }, 'the last row');
    expect(find('li[aria-posinset="1"]')).toBeUndefined();
  });

  it('says one clear line for a file that is no log, and keeps what it has', async () => {
    await open('#logs');
    await choose(new File(['{"rig":'], 'notes.json', { type: 'application/json' }));
    await until(() => find('li.bad'), 'the line');
    expect([...deep(document.body)].filter((each) => each.matches('li.bad')).map((each) => each.textContent)).toEqual([
      'notes.json: The log is cut short, or is not JSON. Copy or export it again.',
    ]);
    expect(counted()).toBe('40 checks');
  });

  it('takes in a log that was edited, warns which entry broke, and shows it all the same', async () => {
    await open('#logs');
    const log = structuredClone((await store.log('story-engine-31-00'))!);
    const entry = log.entries[3]!;
    const edited = {
      ...log,
      header: log.header,
      entries: log.entries.map((each) =>
        each === entry ? { ...each, event: { ...entry.event, heard: '<b>no</b>' } } : each,
      ),
    };
    await store.remove('story-engine-31-00');
    await choose(new File([JSON.stringify(edited)], 'edited.json'));
    await until(() => find('li.bad', /Entry 3/), 'the warning');
    location.hash = '#logs/story-engine-31-00';
    const warning = await until(() => find('.warning', /not as it was sealed/), 'the warning on the check');
    expect(warning.textContent).toContain('Entry 3');
    // What was written into it is shown as text.
    expect(find('td.heard', '<b>no</b>')).toBeDefined();
    location.hash = '#logs?troubled=1';
    await until(() => counted() === '1 of 40 checks', 'the check among those that do not verify');
  });

  it('looks for oddities in the checks of the list, and says what the made-up ones have', async () => {
    await open('#logs');
    await until(() => counted() === '40 checks', 'the count');
    await set('rig', 'engine-31');
    await press('Look for oddities in these 13 checks');
    await until(() => find('tn-oddities')?.shadowRoot?.querySelector('ul'), 'what was found');
    const lines = [...deep(document.body)].filter((each) =>
      each.matches('tn-oddities, .panel > [role=status] > ul > li'),
    );
    // The demo story is called by a program: its pauses and holds are of one length.
    expect(lines.map(({ textContent }) => textContent).join('\n')).toMatch(
      /Engine 31, .*, \d+ checks: .*; expected: .*Honest checks show as much in .* audits\. It may also come from/,
    );
  });

  it('loads the made-up weeks and removes them again', async () => {
    await open('#logs');
    await press('Remove the made-up checks');
    await until(() => counted() === '0 checks', 'an empty list');
    await press('Load twelve made-up weeks');
    await until(() => counted() === '40 checks', 'the story');
  }, 600_000);
});

describe('one check', () => {
  it('shows verdicts, chart, transcript with corrections struck through, earlier checks and trends', async () => {
    await open('#logs/story-engine-31-01');
    const detail = await until(() => find('.callouts'), 'the transcript');
    const struck = [...detail.querySelectorAll('s')].map((each) => each.textContent);
    expect(struck).toHaveLength(1);
    expect(find('.sound', /This log is as it was sealed/)).toBeDefined();
    expect(find('svg[aria-label^="Needles over time"]')).toBeDefined();
    await until(() => find('section[aria-label=Trends]'), 'the trends');
    await until(() => find('section[aria-label="Earlier checks"] table'), 'the earlier checks');
  });

  it('judges again under other limits beside the log, and changes nothing', async () => {
    await open(`#logs/${FAILED}`);
    const select = await until(
      () => find<HTMLSelectElement>('tn-judge-again')?.shadowRoot?.querySelector('select'),
      'limits',
    );
    const before = await store.log(FAILED);
    const other = [...select.options].find(({ text }) => /Western Australia|New Zealand|CDL/.test(text))!;
    select.value = other.value;
    select.dispatchEvent(new Event('change'));
    const table = await until(() => find('tn-judge-again')?.shadowRoot?.querySelector('table'), 'the table');
    expect(table.textContent).toMatch(/Whole check\s+✕ fail/);
    expect(await store.log(FAILED)).toEqual(before);
  });

  it('takes a note of repair by name, and a countersignature only with the officer’s PIN, chained and verified', async () => {
    await open('#rigs/people');
    await until(() => find('li', /Capt\. R\. Whitehorse.*No key on this device/), 'the officer without a key');
    fillIn('tn-people', 'pin', '739104');
    fillIn('tn-people', 'again', '739105');
    await press('Make the key');
    await until(() => find('[role=alert]', /The two PINs differ/), 'that they differ');
    fillIn('tn-people', 'again', '739104');
    await press('Make the key');
    await until(() => find('li', /Capt\. R\. Whitehorse.*Its six words/), 'the key');

    location.hash = `#logs/${FAILED}`;
    await until(() => inside('tn-officer-panel', 'form'), 'the officer’s form');
    const fill = (name: string, value: string): void => fillIn('tn-officer-panel', name, value);
    fill('officer', 'B. Mechanic');
    await press('Countersign');
    await until(() => find('[role=alert]', /B\. Mechanic is not an officer/), 'that a name is not enough');
    fill('text', 'Brake chamber hose replaced <script>');
    fill('repair', 'applied-leakage');
    await press('Add the remark');
    await until(() => find('li', /noted a repair \(Applied leakage\) \(name only\)/), 'the note');
    expect(find('li', /hose replaced <script>/)).toBeDefined();
    fill('officer', 'Capt. R. Whitehorse');
    await until(() => inside('tn-officer-panel', '[name=pin]'), 'the PIN');
    fill('pin', '739105');
    await press('Countersign');
    await until(() => find('[role=alert]', /^Wrong PIN\. Nothing was signed\.$/), 'that it is the wrong one');
    fill('pin', '739104');
    await press('Countersign');
    await until(
      () => find('.sound', /Countersigned by Capt\. R\. Whitehorse with their own key [0-9a-f ]{19} \(made 2026/),
      'the countersignature, verified',
    );
    const kinds = (await store.log(FAILED))!.entries.slice(-3).map(({ event }) => event.type);
    expect(kinds).toEqual(['seal', 'remark', 'countersigned']);
  });

  it('says so when there is none of that address', async () => {
    await open('#logs/nowhere');
    await until(() => find('[role=alert]', /keeps no check/), 'the line');
  });
});

function inside(element: string, selector: string): HTMLInputElement | undefined {
  return find(element)?.shadowRoot?.querySelector<HTMLInputElement>(selector) ?? undefined;
}

/** Types into a field of an element, wherever it is. */
function fillIn(element: string, name: string, value: string): void {
  const field = inside(element, `[name=${name}]`);
  if (field === undefined) throw new Error(`no field ${name}`);
  field.value = value;
  field.dispatchEvent(new Event('input', { bubbles: true }));
}

describe('the Rigs screen', () => {
  it('shows what drifts in words, the open defect, and the last check', async () => {
    await open('#rigs');
    const card = await until(
      () => find('article[aria-label="Ladder 36"]', /Open defect: Applied leakage/),
      'the defect',
    );
    expect(card.textContent).toMatch(/secondary drop in 60 s.*beyond the limit/s);
    expect(find('article[aria-label="Engine 31"]', /no drift towards a limit/)).toBeDefined();
    expect(find('article[aria-label="Tender 34"]', /1 closed defect/)).toBeDefined();
  });

  it('keeps changed settings', async () => {
    await open('#rigs');
    await until(() => find('article[aria-label="Ladder 36"]'), 'the rig');
    await press(/^Edit\s*Ladder 36$/);
    const form = await until(() => find('tn-rig-form')?.shadowRoot, 'the form');
    form.querySelector<HTMLInputElement>('[name=name]')!.value = 'Ladder 36 spare';
    await press('Save the rig');
    await until(() => find('article[aria-label="Ladder 36 spare"]'), 'the new name');
  });
});

describe('the way between the screens', () => {
  it('is a bar of links that marks where one is and puts the focus on the heading', async () => {
    await open('#logs');
    expect(find('a[aria-current=page]')?.textContent).toBe('Logs');
    find<HTMLAnchorElement>('nav a', 'Rigs')?.click();
    await until(() => find('a[aria-current=page]')?.textContent === 'Rigs', 'the mark');
    await until(() => find('tn-rigs-screen')?.shadowRoot?.activeElement?.textContent === 'Rigs', 'the focus');
  });

  it('is not there while a check runs', async () => {
    await open('');
    await press('Start the check');
    await until(() => find('tn-check-screen'), 'the Check screen');
    expect(find('tn-places')).toBeUndefined();
    location.hash = '#logs';
    await settle();
    expect(find('tn-check-screen')).toBeDefined();
  });
});

describe.each(['day', 'night'] as const)('the screens of the officer by %s', (theme) => {
  it.each([
    ['the list', '#logs', 'tn-log-list li'],
    ['the filter', '#logs?verdict=fail', 'tn-log-filter form'],
    ['one check', `#logs/${FAILED}`, '.callouts'],
    ['the rigs', '#rigs', '.defect'],
  ])('have no violation: %s', async (_name, hash, there) => {
    await open(hash, theme);
    await until(() => find(there.split(' ').at(-1)!), there);
    await settle();
    expect(await violations()).toEqual([]);
  });
});
