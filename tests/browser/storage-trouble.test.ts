import { afterEach, describe, expect, it } from 'vitest';
import { tabClaims } from '../../src/record/claims.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import { keepingStore } from '../../src/record/keeping-store.ts';
import type { EntryStore } from '../../src/record/record-store.ts';
import { RECORD_NOTICES } from '../../src/ui/shell/record-notices.ts';
import type { AppParts } from '../../src/ui/shell/app-parts.ts';
import type { TwoNeedles } from '../../src/ui/shell/two-needles.ts';
import { Bench, chained, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const text = (selector: string): string => find(selector)?.shadowRoot?.textContent ?? '';

/** A tab of its own: its own store and its own claims, over the same disk. */
async function tab(disk: EntryStore): Promise<AppParts> {
  return new Bench().parts({ store: await chained(disk), claims: tabClaims(navigator.locks) });
}

describe('a check that is open in two tabs', () => {
  it('is refused to the second, politely, and goes on in the first', async () => {
    const disk = await diskStore(`tabs-${crypto.randomUUID()}`);
    const first = await mount(await tab(disk));
    await press('Start the check');
    await until(() => find('tn-check-screen'), 'the Check screen');
    await press('Chocks set');
    const [head] = await disk.heads();
    const before = await disk.entries(head!.id);
    first.remove();

    const second = await mount(await tab(disk));
    await press('Go on with it');
    await until(() => /running in another tab/.test(text('tn-start-screen')), 'the refusal');
    await press('Close it as incomplete');
    expect(find('tn-check-screen')).toBeUndefined();
    expect(await disk.entries(head!.id)).toEqual(before);
    expect((await disk.heads())[0]?.state).toBe('running');

    second.remove();
    document.body.append(first);
    await press('Mirrors set');
    await until(() => find('tn-check-screen'), 'the first tab');
    await expect.poll(() => disk.entries(head!.id)).toHaveLength(before.length + 1);
    // Once the first lets go, another may take it up.
    await press('Stop');
    await press('Yes, stop');
    await press('Back to the start');
  });
});

describe('storage that fails in the middle of a check', () => {
  it('is told on the Check screen at once, and taken back when it works again', async () => {
    const disk = await diskStore(`trouble-${crypto.randomUUID()}`);
    let broken = false;
    const failing: EntryStore = {
      ...disk,
      append: (...row) => (broken ? Promise.reject(new DOMException('gone', 'UnknownError')) : disk.append(...row)),
    };
    const told: { app?: TwoNeedles } = {};
    const kept = keepingStore(failing, (kind) => {
      const { app } = told;
      if (app === undefined) return;
      app.notices = kind === 'disk-back' ? [] : [RECORD_NOTICES[kind]];
    });
    told.app = await mount(await new Bench().parts({ store: await chained(kept) }));
    await press('Start the check');
    await until(() => find('tn-check-screen'), 'the Check screen');
    broken = true;
    await press('Chocks set');
    await until(() => /kept in memory while this page stays open/.test(text('tn-check-screen')), 'the notice');
    broken = false;
    await press('Mirrors set');
    await until(() => !/kept in memory/.test(text('tn-check-screen')), 'the notice to go');
    await settle();
    const [head] = await disk.heads();
    expect((await disk.events(head!.id)).map(({ type }) => type)).toEqual(['start', 'callout', 'callout']);
  });
});
