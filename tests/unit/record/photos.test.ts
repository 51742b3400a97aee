import { strFromU8, unzipSync, zipSync } from 'fflate';
import { expect, it } from 'vitest';
import { openItemDefects } from '../../../src/audit/open-defects.ts';
import type { CheckEvent } from '../../../src/check/event.ts';
import { MOST_OF_AN_ITEM, MOST_OF_A_CHECK } from '../../../src/check/photos.ts';
import { chainedStore } from '../../../src/record/chained-store.ts';
import { clipsOf, exportCheck } from '../../../src/record/export.ts';
import { importChecks } from '../../../src/record/import.ts';
import { keepingStore } from '../../../src/record/keeping-store.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import { piecesOf } from '../../../src/shelf/parcel.ts';
import { verdictOn, verdictOnClips } from '../../support/verify-log.ts';
import { APP, newSigner, packedBy, WALL } from './logs.ts';
import { photographed, takenOn } from './photographed.ts';

it('a photo goes with its log into the export and back, beside its defect in report and next check; one taken back is told of without its picture', async () => {
  const { store, signer } = await photographed();
  const log = (await store.log('c1'))!;
  const zip = await exportCheck(log, packedBy(signer), await clipsOf(store, log));
  const files = unzipSync(new Uint8Array(await zip.arrayBuffer()));
  expect(Object.keys(files).filter((name) => /^(photos|clips)/.test(name))).toEqual(['photos/0002.jpg']);
  const report = strFromU8(files['report.html']!);
  expect(report).toContain(`src="data:image/jpeg;base64,${btoa('frayed belt')}"`);
  expect(report).toContain('A photo was taken back.');
  expect(report).not.toMatch(/<script|<link|href=|src="(?!data:)/i);
  const there = chainedStore(memoryStore(), await newSigner(), () => WALL, APP);
  const { logs } = await importChecks([{ name: 'c1.zip', file: zip }], there);
  expect(logs).toMatchObject([{ outcome: 'added', verification: { faults: [], clips: { photos: 1, gone: 1 } } }]);
  const [defect] = openItemDefects(await there.heads(), 'engine-31');
  expect(defect).toMatchObject({ item: 'belts', photos: ['c1-photo-1'] });
  const picture = (await there.clip('c1-photo-1'))!.wav;
  expect([picture.type, await picture.text()]).toEqual(['image/jpeg', 'frayed belt']);
  expect(await there.clip('c1-photo-2')).toBeUndefined();
  // Photos stay on the device, whatever goes to a shelf.
  const kinds = (await piecesOf(log, signer.publicKey, 'station-3', store)).map(({ kind }) => kind);
  expect(kinds).toEqual(['check', 'head']);
});

it('one changed byte of a photo, and one that stands where a sound should, are told by both verifiers and not kept', async () => {
  const { store, signer } = await photographed();
  const log = (await store.log('c1'))!;
  const whole = unzipSync(
    new Uint8Array(await (await exportCheck(log, packedBy(signer), await clipsOf(store, log))).arrayBuffer()),
  );
  const text = strFromU8(whole['log.json']!);
  expect([verdictOn(text), verdictOnClips(text, whole)]).toEqual(['verified', 'verified']);
  const photo = whole['photos/0002.jpg']!;
  const changed = { ...whole, 'photos/0002.jpg': photo.map((byte, at) => (at === 3 ? byte ^ 1 : byte)) };
  const { 'photos/0002.jpg': _, ...rest } = whole;
  const moved = { ...rest, 'clips/0002.wav': photo };
  for (const [files, fault, name] of [
    [changed, 'The photo of entry 2 is not the one that was taken.', 'photos/0002.jpg'],
    [moved, 'clips/0002.wav was put beside the log: the manifest does not name it.', 'clips/0002.wav'],
  ] as const) {
    const there = chainedStore(memoryStore(), await newSigner(), () => WALL, APP);
    const { logs } = await importChecks([{ name: 'c1.zip', file: new Blob([zipSync(files)]) }], there);
    expect(logs[0]?.verification?.faults.map(({ what }) => what)).toEqual([fault]);
    expect(await there.clip('c1-photo-1')).toBeUndefined();
    expect(verdictOnClips(text, files)).toBe(`${name} is not what was kept`);
  }
});

it('a photo too many, one without room and one after the end are each refused in a line, and the log names none of them', async () => {
  const events: CheckEvent[] = [];
  const keep = (event: CheckEvent): Promise<void> => Promise.resolve(void events.push(event));
  const { photos, take, state } = takenOn(memoryStore(), keep);
  for (let nth = 0; nth < MOST_OF_AN_ITEM; nth += 1) expect(await take('belts', 'one')).toBeUndefined();
  expect(await take('belts', 'one')).toMatch(/An item has at most 3 photos/);
  for (let nth = MOST_OF_AN_ITEM; nth < MOST_OF_A_CHECK; nth += 1) await take(`item ${nth}`, 'one');
  expect(await take('horn', 'one')).toMatch(/A check holds 12 photos/);
  await photos.act({ do: 'photo-back', item: 'belts', clip: photos.model.taken[0]!.clip });
  expect(await take('horn', 'one')).toBeUndefined();
  state.over = true;
  expect(await take('horn', 'one')).toMatch(/over and sealed/);
  expect(events).toHaveLength(MOST_OF_A_CHECK + 2);

  const full = (): Promise<never> => Promise.reject(new DOMException('full', 'QuotaExceededError'));
  const disk = keepingStore({ ...memoryStore(), place: 'disk', keepClip: full }, () => undefined);
  const { photos: none, take: tryOn } = takenOn(disk, keep);
  expect(await tryOn('belts', 'one')).toMatch(/no room for this photo/);
  expect(none.model.taken).toEqual([]);
  expect(events).toHaveLength(MOST_OF_A_CHECK + 2);
});

it('a full disk gives up every sound before the first photo', async () => {
  const store = memoryStore();
  const { take } = takenOn(store, () => Promise.resolve());
  await take('belts', 'one');
  await store.keepClip({ id: 'sound', check: 'c2', kept: Date.parse('2090-01-01'), wav: new Blob(['sound']) });
  await store.dropOldestClip();
  expect([await store.clip('sound'), (await store.clip('c1-photo-1'))?.id]).toEqual([undefined, 'c1-photo-1']);
});
