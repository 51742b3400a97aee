import { afterEach, describe, expect, it } from 'vitest';
import axe from 'axe-core';
import { ShelfKeeper } from '../../src/shelf/keeper.ts';
import { openPlace } from '../../src/shelf/open-place.ts';
import { openShelfDisk } from '../../src/shelf/shelf-disk.ts';
import { writeShelfFile } from '../../src/shelf/shelf-file.ts';
import { HOSTS_KEY } from '../../src/ui/shared/hosts.ts';
import { pageXml } from '../../src/ui/shelf/page-xml.ts';
import type { AppParts } from '../../src/ui/shell/app-parts.ts';
import { S3, shelfOf, standIn, type StandIn } from '../support/shelf/stand-in.ts';
import { logOfCheck, newSigner, wholeCheck } from '../unit/record/logs.ts';
import { headOfLog } from '../../src/record/judged.ts';
import { chainedStore } from '../../src/record/chained-store.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { Bench, deep, find, mount, press, settle, until } from './support/parts.ts';

const NOW = '2026-05-04T08:00:00.000Z';

/** The app beside a shelf that nobody has switched on, with one sealed check of this very device. */
async function tablet(store: StandIn, page: Partial<AppParts> = {}) {
  const signer = await newSigner();
  const record = chainedStore(memoryStore(), signer, () => NOW, 'Two Needles test');
  const log = await logOfCheck(wholeCheck(), signer);
  const head = headOfLog(log);
  if (head === undefined) throw new Error('no head');
  await record.takeIn(head, log, []);
  const disk = await openShelfDisk(`test-${crypto.randomUUID()}`);
  const keeper = new ShelfKeeper({
    ...{ disk, store: record, locks: navigator.locks, random: () => 0.5, isFreeLink: () => false },
    clock: { steady: () => performance.now() },
    unconfirmed: () => undefined,
    place: (file) => Promise.resolve(openPlace(file, { fetch: store.fetch, xml: pageXml, wall: () => NOW })),
    wait: (_ms, woken) => new Promise((done) => woken.addEventListener('abort', () => done())),
  });
  await keeper.begin();
  const bench = new Bench();
  const parts = await bench.parts({ store: record, wall: () => NOW, shelf: () => Promise.resolve(keeper), ...page });
  location.hash = '#logs/shelf';
  await mount(parts);
  return { keeper, record };
}

function type(text: string): void {
  const field = find<HTMLTextAreaElement>('textarea[name=text]');
  if (field === undefined) throw new Error('no field');
  field.value = text;
  field.form?.requestSubmit();
}

afterEach(() => {
  document.body.replaceChildren();
  localStorage.removeItem(HOSTS_KEY);
  location.hash = '';
});

describe('the district’s shelf on a tablet', () => {
  it('is told what leaves the device, asks nobody before it is switched on, and then puts the check and lists it', async () => {
    // Its own address: nothing has to be confirmed.
    const place = { ...S3, address: `${location.origin}/checks` };
    const store = standIn('s3', () => NOW);
    const { keeper } = await tablet(store);
    await until(() => find('section[aria-label="Shelf"]'), 'the panel');
    type('{"format":"two-needles-shelf","version":1}');
    await until(() => find('[role=alert]', /The text, name: name is missing/), 'why it is refused');
    type(writeShelfFile(shelfOf(place), true));
    await until(() => find('h3', 'What leaves this device'), 'what leaves');
    expect(store.asked).toEqual([]);
    await press('Switch on');
    await until(() => store.objects.size === 2, 'the check and its head');
    await until(() => find('[role=status]', /Nothing waits/), 'that nothing waits');
    expect(store.asked.map((each) => each.replace(/[0-9a-f]{64}/g, '#'))).toEqual([
      'PUT station-3/checks/2026-05-04/#.json',
      'PUT station-3/heads/#/00000001_2026-05-04_#.json',
    ]);
    await press('List');
    await until(
      () => find('[aria-label="Checks on the shelf"] li', /2026-05-04, station-3, This device, number 1/),
      'the row',
    );
    await press(/^Fetch 2026/);
    await until(() => find('[role=status]', /1 of 1 fetched and verified/), 'that it was fetched');
    // The store has lost the check; the tablet has it still.
    for (const name of store.objects.keys()) if (name.includes('/checks/')) store.objects.delete(name);
    await press(/^Send all again/);
    await until(() => store.objects.size === 2, 'the check that was lost');
    await press('Switch off');
    await until(() => keeper.state.kind === 'off', 'that it is off');
    const before = store.asked.length;
    keeper.look();
    keeper.hurry();
    await settle();
    expect(store.asked).toHaveLength(before);
  });

  it('takes a shelf file from a QR code by the camera, where the browser can', async () => {
    const text = writeShelfFile(shelfOf({ ...S3, address: `${location.origin}/checks` }), true);
    const had = Object.getOwnPropertyDescriptor(navigator, 'mediaDevices');
    const stream = document.createElement('canvas').captureStream();
    Object.assign(globalThis, {
      BarcodeDetector: class {
        detect = () => Promise.resolve([{ rawValue: text }]);
      },
    });
    Object.defineProperty(navigator, 'mediaDevices', {
      configurable: true,
      value: { getUserMedia: () => Promise.resolve(stream) },
    });
    // A picture of nothing never plays.
    const play = Object.getOwnPropertyDescriptor(HTMLMediaElement.prototype, 'play');
    Object.defineProperty(HTMLMediaElement.prototype, 'play', { ...play, value: () => Promise.resolve() });
    try {
      await tablet(standIn('s3', () => NOW));
      await press('Scan its QR code');
      await until(() => find('h2', 'Tamarack Flats'), 'the shelf that is offered');
      expect(stream.getTracks().map(({ readyState }) => readyState)).toEqual(['ended']);
    } finally {
      Object.defineProperty(HTMLMediaElement.prototype, 'play', play ?? {});
      Reflect.deleteProperty(globalThis, 'BarcodeDetector');
      if (had === undefined) Reflect.deleteProperty(navigator, 'mediaDevices');
      else Object.defineProperty(navigator, 'mediaDevices', had);
    }
  });

  it('can be used with a screen reader, and on a narrow screen', async () => {
    const store = standIn('s3', () => NOW);
    await tablet(store);
    await until(() => find('section[aria-label="Shelf"]'), 'the panel');
    type(writeShelfFile(shelfOf({ ...S3, address: `${location.origin}/checks` }), true));
    await until(() => find('h3', 'What leaves this device'), 'what leaves');
    const { violations } = await axe.run(document.body, { resultTypes: ['violations'] });
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
    document.body.style.width = '360px';
    await settle();
    const wide = [...deep(document.body)].filter((each) => each.getBoundingClientRect().right > 361);
    document.body.style.width = '';
    expect(wide.map(({ localName }) => localName)).toEqual([]);
  });
});
