import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { Hearing } from '../../src/hearing/hearing.ts';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import { exportCheck } from '../../src/record/export.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { loadStory } from '../../src/ui/logs/story-logs.ts';
import { Bench, chained, find, mount, settle, until } from './support/parts.ts';

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

const silentHearing: Hearing = {
  ready: Promise.resolve(true),
  listenFor: () => undefined,
  feed: () => Promise.resolve(),
  flush: () => Promise.resolve(),
  close: () => Promise.resolve(),
};

async function open(hash: string): Promise<ChainedStore> {
  location.hash = hash;
  const store = await chained(memoryStore());
  const ear = { id: 'embedded', name: 'the embedded ear', hearing: () => silentHearing } as const;
  const parts = await new Bench().parts({ store, ears: () => Promise.resolve([ear]) });
  const { plans, profiles, language } = parts;
  await loadStory(store, {
    plan: plans[0]!,
    profile: profiles[0]!,
    lastDay: '2026-03-30',
    parse: (...said) => language.parse(...said),
  });
  await mount(parts);
  return store;
}

/** What has the focus, however deep. */
function focused(): Element | undefined {
  let element = document.activeElement;
  for (let inner = element; inner !== null; inner = inner.shadowRoot?.activeElement ?? null) element = inner;
  return element ?? undefined;
}
const words = (element: Element | undefined): string => element?.textContent.replace(/\s+/g, ' ').trim() ?? '';

/** Presses Tab until what has the focus fits; nothing else than the keyboard is used. */
async function tabTo(fits: (element: Element) => boolean, what: string): Promise<Element> {
  for (let presses = 0; presses < 150; presses += 1) {
    await userEvent.keyboard('{Tab}');
    const element = focused();
    if (element !== undefined && fits(element)) return element;
  }
  throw new Error(`the Tab key never came to ${what}`);
}
const named = (name: string) => (element: Element) => element.getAttribute('name') === name;
const saying = (text: RegExp) => (element: Element) => text.test(words(element));

describe('by the keyboard alone', () => {
  it('an officer finds a failed check, reads it, countersigns it and looks at its rig', async () => {
    const store = await open('');
    await tabTo(saying(/^Rigs$/), 'the way to the rigs');
    await userEvent.keyboard('{Enter}');
    await tabTo(saying(/^People/), 'the way to the people');
    await userEvent.keyboard('{Enter}');
    await tabTo(saying(/^Choose a PIN/), 'the PIN');
    await userEvent.keyboard('{Enter}');
    await tabTo(named('pin'), 'the new PIN');
    await userEvent.keyboard('739104');
    await tabTo(named('again'), 'the new PIN again');
    await userEvent.keyboard('739104{Enter}');
    await until(() => find('li', /Its six words/), 'the key');
    await tabTo(saying(/^Logs$/), 'the way to the logs');
    await userEvent.keyboard('{Enter}');
    await until(() => find('.count')?.textContent.trim() === '40 checks', 'the list');
    await until(() => words(focused()) === 'Logs', 'the focus on the heading');

    await tabTo(saying(/^Filter/), 'the filter');
    await userEvent.keyboard('{Enter}');
    await tabTo(named('verdict'), 'the verdict');
    await userEvent.keyboard('{ArrowDown}{ArrowDown}{ArrowDown}');
    expect((focused() as HTMLSelectElement).value).toBe('fail');
    await until(() => /^\d of 40 checks$/.test(find('.count')?.textContent.trim() ?? ''), 'the failed ones');

    const link = await tabTo(
      (element) => element instanceof HTMLAnchorElement && /Ladder 36/.test(words(element)),
      'a check',
    );
    expect(getComputedStyle(link).outlineStyle).toBe('solid');
    await userEvent.keyboard('{Enter}');
    await until(() => find('.callouts'), 'the check');
    await until(() => /Ladder 36: fail/.test(words(focused())), 'the focus on its heading');

    await tabTo(named('officer'), 'the officer’s name');
    await userEvent.keyboard('Capt. R. Whitehorse');
    await tabTo(named('pin'), 'the PIN');
    await userEvent.keyboard('739104');
    await tabTo(saying(/^Countersign$/), 'the countersignature');
    await userEvent.keyboard('{Enter}');
    await until(() => find('li', /Capt\. R\. Whitehorse countersigned/), 'that it is signed');
    await tabTo((element) => element.getAttribute('aria-label') === 'Callouts', 'the transcript');
    await tabTo((element) => element.getAttribute('type') === 'file', 'the second hearing');

    await tabTo(saying(/^Rigs$/), 'the way to the rigs');
    await userEvent.keyboard('{Enter}');
    await until(() => find('article[aria-label="Ladder 36"]', /Open defect/), 'the rig');
    await until(() => words(focused()) === 'Rigs', 'the focus on the heading');
    await tabTo(saying(/^Edit Ladder 36$/), 'the settings of the rig');
    await userEvent.keyboard('{Enter}');
    await until(() => find('tn-rig-form'), 'the form');
    await tabTo(named('name'), 'the name');
    await userEvent.keyboard('{End} spare');
    await tabTo(saying(/^Save the rig$/), 'the button');
    await userEvent.keyboard('{Enter}');
    await until(() => find('article[aria-label="Ladder 36 spare"]'), 'the new name');
    expect(
      (await store.heads()).filter(({ countersigned }) => (countersigned?.length ?? 0) > 0).length,
    ).toBeGreaterThan(0);
  }, 600_000);
});

describe('files that are dropped', () => {
  function drop(data: DataTransfer): void {
    const door = find('tn-log-import')?.shadowRoot?.querySelector('section');
    for (const type of ['dragover', 'drop'])
      door?.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
  }

  it('are taken in, several at once, and what is no export is told beside', async () => {
    const store = await open('#logs');
    await until(() => find('tn-log-import'), 'the door');
    const log = (await store.log('story-engine-31-02'))!;
    const zip = await exportCheck(log, await store.packing());
    await store.remove('story-engine-31-02');
    const data = new DataTransfer();
    data.items.add(new File([zip], 'one.zip'));
    data.items.add(new File(['hello'], 'holiday.jpg'));
    drop(data);
    await until(() => find('li.bad', /^holiday\.jpg/), 'what was not taken');
    expect(find('tn-log-import')?.shadowRoot?.textContent).toContain('1 added, 0 here already, 1 not taken');
    await settle();
    expect(await store.log('story-engine-31-02')).toEqual(log);
  });

  it('that are no files change nothing', async () => {
    await open('#logs');
    await until(() => find('tn-log-import'), 'the door');
    const data = new DataTransfer();
    data.setData('text/plain', 'words');
    drop(data);
    await settle();
    expect(find('tn-log-import progress')).toBeUndefined();
    expect(find('li.bad')).toBeUndefined();
  });
});
