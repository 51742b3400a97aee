import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';
import { collectCommand } from '../../../src/cli/collect/collect-command.ts';
import { verifyCommand } from '../../../src/cli/verify/verify-command.ts';
import { thumbprint } from '../../../src/record/signer.ts';
import type { Web } from '../../../src/shelf/http.ts';
import { readName } from '../../../src/shelf/names.ts';
import { openPlace } from '../../../src/shelf/open-place.ts';
import { writeShelfFile } from '../../../src/shelf/shelf-file.ts';
import { BREAKAGES } from './breakages.ts';
import { runFleet, type FleetPlan, type FleetStory } from './fleet.ts';

/**
 * The whole story of a shelf: a fleet puts its checks through everything, all of them are there once and unchanged, `collect` takes them and
 * finds nothing wrong; then the store does what a bad one does, and `collect` tells each.
 */
export async function shelfTrial(plan: FleetPlan, web: Web): Promise<FleetStory['told']> {
  const { expected, signers, told } = await runFleet(plan);
  const place = openPlace(plan.shelf, web);
  const station = plan.shelf.station ?? '';

  const there: string[] = [];
  for (const kind of ['checks', 'heads', 'notes']) {
    const groups = await place.list(`${station}/${kind}`);
    for (const group of groups.kind === 'listed' ? groups.folders : []) {
      const listed = await place.list(`${station}/${kind}/${group}`);
      if (listed.kind === 'listed') there.push(...listed.files.map((file) => `${station}/${kind}/${group}/${file}`));
    }
  }
  // Every one arrived, once, and nothing else did.
  expect(there.sort()).toEqual([...expected.keys()].sort());
  for (const [name, bytes] of expected) {
    const got = await place.get(name);
    expect(got.kind === 'got' && Buffer.compare(got.bytes, bytes), name).toBe(0);
  }

  const folder = await mkdtemp(join(tmpdir(), 'collect-'));
  try {
    const keys = signers.map(({ publicKey: key }, nth) => ({ name: `Tablet ${nth + 1}`, key }));
    const file = join(folder, 'shelf.json');
    await writeFile(file, writeShelfFile({ ...plan.shelf, keys }));
    const collectInto = async (out: string, ...more: string[]) => {
      const lines: string[] = [];
      const argv = [file, '--since', '2025-01-01', '--out', join(folder, out), ...more];
      const status = await collectCommand(
        argv,
        { out: (line) => lines.push(line), err: (line) => lines.push(line) },
        web,
      );
      return { status, lines };
    };
    const first = await collectInto('first', '--index');
    expect(first.status, first.lines.join('\n')).toBe(0);
    expect(first.lines.at(-1)).toContain(`Collected ${told.checks} checks, ${told.notes} remarks and 0 sounds`);
    const again = await collectInto('first');
    expect(again.lines.at(-1)).toContain('Collected 0 checks, 0 remarks');
    // What lies in the folder is what `verify` takes.
    const one = [...expected.keys()].find((name) => name.startsWith(`${station}/checks/`)) ?? '';
    const silent = { out: () => undefined, err: () => undefined };
    expect(await verifyCommand([join(folder, 'first', one.replace(/\.json$/, ''))], silent)).toBe(0);

    const device = await thumbprint(signers[0]!.publicKey);
    const heads = there.filter((name) => name.startsWith(`${station}/heads/${device}/`)).sort();
    const checks = heads.map((name) => {
      const head = readName(name);
      return head?.kind === 'head' ? `${station}/checks/${head.day}/${head.digest}.json` : '';
    });
    for (const { does } of BREAKAGES) await does(place, { checks, heads });
    const fresh = await collectInto('second');
    expect(fresh.status).toBe(1);
    for (const { what, says } of BREAKAGES)
      expect(
        fresh.lines.some((line) => says({ checks, heads }).test(line)),
        `${what}: ${fresh.lines.join('\n')}`,
      ).toBe(true);
    // Who has collected before sees, besides, what is gone since, and that what is here is not what is there.
    const later = await collectInto('first', '--again');
    expect(later.status).toBe(1);
    expect(later.lines.some((line) => /^GONE: .*\/00000003_/.test(line))).toBe(true);
    expect(later.lines.filter((line) => line.startsWith('WRONG: ')).length).toBeGreaterThanOrEqual(6);
  } finally {
    await rm(folder, { recursive: true });
  }
  return told;
}
