import { describe, expect, it } from 'vitest';
import { chainedStore } from '../../src/record/chained-store.ts';
import { openDevice } from '../../src/record/device-key.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import { exportChecks } from '../../src/record/export.ts';
import { importChecks } from '../../src/record/import.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { startOf } from '../unit/check/support/say.ts';

const WALL = '2026-05-04T07:30:00.000Z';
const HEAD = {
  id: 'c1',
  startedAt: WALL,
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
};

describe('the record in a browser', () => {
  it('seals with a key that outlives the page, exports, and verifies what it imports', async () => {
    const name = `sealed-${crypto.randomUUID()}`;
    const [before, after] = [await openDevice(undefined, `${name}-key`), await openDevice(undefined, `${name}-key`)];
    expect(after.signer.publicKey).toEqual(before.signer.publicKey);
    const first = chainedStore(await diskStore(name), before.signer, () => WALL, 'test', before);
    await first.begin({ ...HEAD, state: 'running' });
    await first.append('c1', 0, startOf());
    const second = chainedStore(await diskStore(name), after.signer, () => WALL, 'test', after);
    await second.append('c1', 1, { type: 'end', at: 5000 });
    await second.close({ ...HEAD, state: 'finished', verdict: 'incomplete' });
    expect((await verifyLog((await second.log('c1'))!)).faults).toEqual([]);
    const { files } = await exportChecks(second, ['c1']);
    const other = await openDevice(undefined, `${name}-other`);
    const elsewhere = chainedStore(memoryStore(), other.signer, () => WALL, 'test', other);
    const { logs } = await importChecks([{ name: 'c1.zip', file: files[0]! }], elsewhere);
    expect(logs.map(({ outcome, verification }) => [outcome, verification?.faults])).toEqual([['added', []]]);
  });
});
