import { afterEach, describe, expect, it } from 'vitest';
import cab from '../../src/items/lists/cab.json';
import type { LibraryPanel } from '../../src/ui/library/library-panel.ts';
import morningCheck from '../../src/check/plans/morning-check.json';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import { Bench, deep, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const OWN = { ...morningCheck, id: 'tamarack-morning', title: 'Tamarack Flats morning' };
const LIMITS = { ...BUILT_IN_PROFILES[0], id: 'tamarack-limits', title: 'Tamarack Flats limits' };

function file(name: string, json: unknown): File {
  return new File([JSON.stringify(json)], name, { type: 'application/json' });
}

function transfer(...files: File[]): DataTransfer {
  const data = new DataTransfer();
  for (const each of files) data.items.add(each);
  return data;
}

/** Chooses files for the picker whose accessible name is `label`. */
async function choose(label: string, ...files: File[]): Promise<void> {
  const input = [...deep(document.body)].find(
    (element): element is HTMLInputElement =>
      element instanceof HTMLInputElement &&
      element.type === 'file' &&
      element.labels?.[0]?.textContent.trim() === label,
  );
  if (input === undefined) throw new Error(`no picker ${label}`);
  input.files = transfer(...files).files;
  input.dispatchEvent(new Event('change'));
  await settle();
}

function chosen(name: string): string | undefined {
  return find<HTMLSelectElement>(`select[name=${name}]`)?.value;
}

async function open(): Promise<Bench> {
  const bench = new Bench();
  await mount(await bench.parts());
  // It comes after the first screen.
  await until(() => find('section[aria-label="Plans and limits"]'), 'the library');
  return bench;
}

describe('own plans and limits on the start screen', () => {
  it('are taken in by the pickers, chosen, kept and used by the next check', async () => {
    const bench = await open();
    await choose('Import a plan', file('morning.json', OWN));
    await until(() => chosen('plan') === OWN.id, 'the own plan, chosen');
    await choose('Import limits', file('limits.json', LIMITS));
    await until(() => chosen('profile') === LIMITS.id, 'the own limits, chosen');
    expect(bench.stored.get('plans')).toEqual([OWN]);
    expect(bench.stored.get('profiles')).toEqual([LIMITS]);
    await press('Start the check');
    await until(() => find('p.title', 'Chocks and walk-round'), 'the first step of the own plan');
    expect(bench.stored.get('settings')).toMatchObject({ planId: OWN.id, profileId: LIMITS.id });
  });

  it('are taken in when dropped, each for what it is', async () => {
    await open();
    const section = await until(() => find('section[aria-label="Plans and limits"]'), 'the section');
    const dataTransfer = transfer(file('limits.json', LIMITS), file('morning.json', OWN));
    section.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
    await until(() => chosen('plan') === OWN.id && chosen('profile') === LIMITS.id, 'both, chosen');
  });

  it('are refused aloud with file name, JSON path and reason, and the choice stays', async () => {
    const bench = await open();
    await choose('Import a plan', file('bad.json', { ...OWN, steps: [] }));
    const alert = await until(() => find('[role=alert]', /bad\.json/), 'the refusal');
    expect(alert.textContent).toContain('bad.json, steps: steps is empty: a plan has at least one step.');
    await choose(
      'Import limits',
      file('odd.json', {
        ...LIMITS,
        tests: [
          {
            test: 'static-leakage',
            holdSeconds: 60,
            limits: [{ figure: 'rate', max: 2, strict: false, unit: 'psi/min' }],
          },
        ],
      }),
    );
    const second = await until(() => find('[role=alert]', /odd\.json/), 'the second refusal');
    expect(second.textContent).toContain('odd.json, tests[0].limits[0].source');
    expect(chosen('plan')).toBe('full-cab-check');
    expect(bench.stored.has('plans')).toBe(false);
  });

  it('are kept though no ear has a word of theirs, which is said by its name', async () => {
    await open();
    const panel = await until(() => find<LibraryPanel>('tn-library'), 'the library');
    const known = JSON.stringify(cab).match(/[a-z']+/g) ?? [];
    panel.dictionary = () => Promise.resolve(known.map((word) => `${word} AH`).join('\n'));
    const [seat, ...rest] = cab.items;
    const items = [{ ...seat, names: ['gromblefitz'] }, ...rest];
    await choose('Import a plan', file('walk.json', { ...OWN, id: 'tamarack-walk', steps: [{ ...cab, items }] }));
    await until(() => find('.refused', /no built-in ear knows how “gromblefitz” sounds/), 'the word');
    expect(chosen('plan')).toBe('tamarack-walk');
  });

  it('are removed again, and the built-in one is chosen', async () => {
    const bench = await open();
    await choose('Import a plan', file('morning.json', OWN));
    await press(/^Remove Tamarack Flats morning$/);
    expect(chosen('plan')).toBe('full-cab-check');
    expect(bench.stored.get('plans')).toEqual([]);
  });

  it('are listed with the reason when they can no longer be used', async () => {
    const bench = new Bench();
    bench.stored.set('plans', [{ ...OWN, version: 7 }]);
    await mount(await bench.parts());
    expect(
      find('.unusable p', /Kept, but not usable\. Tamarack Flats morning, version: Plans of version 7/),
    ).toBeDefined();
    await press(/^Remove Tamarack Flats morning$/);
    expect(bench.stored.get('plans')).toEqual([]);
  });
});
