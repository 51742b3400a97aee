import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { lock } from '../../../src/cli/hear/lock.ts';

/** No process has it: the largest number that Linux gives is 2^22. */
const NOBODY = 5_000_000;

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lock-'));
});
afterEach(() => rm(folder, { recursive: true }));

describe('the lock beside an evidence folder', () => {
  it('keeps a second program out, names the first, and is free once it is released', async () => {
    const path = join(folder, 'check');
    const held = await lock(path);
    if (!held.ok) throw new Error(held.problem.what);
    const second = await lock(path);
    expect(second).toMatchObject({
      ok: false,
      problem: { what: `another program (process ${process.pid}) writes there.` },
    });
    await held.value.release();
    expect(await readdir(folder)).toEqual([]);
    expect((await lock(path)).ok).toBe(true);
  });

  it('takes over, and clears away, what programs left that were killed with it or on their way to it', async () => {
    const path = join(folder, 'check');
    await writeFile(join(folder, '.check.lock'), `${NOBODY}\n`);
    await writeFile(join(folder, `.check.lock-${NOBODY + 1}`), `${NOBODY + 1}\n`);
    const living = `.check.lock-${process.ppid}`;
    await writeFile(join(folder, living), '');
    const held = await lock(path);
    expect(held.ok).toBe(true);
    expect((await readdir(folder)).sort()).toEqual(['.check.lock', living]);
  });
});
