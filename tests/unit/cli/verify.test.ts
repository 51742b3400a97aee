import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { verifyCommand } from '../../../src/cli/verify/verify-command.ts';
import { exportCheck } from '../../../src/record/export.ts';
import type { LogFile } from '../../../src/record/log.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { writeKeys } from '../../../src/record/known-keys.ts';
import { logOfCheck, newSigner, officersLog, packedBy, signed, WALL, wholeCheck } from '../record/logs.ts';
import { startOf } from '../check/support/say.ts';

const FORMAT = fileURLToPath(new URL('../../../src/record/FORMAT.md', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'verify-'));
afterAll(() => rmSync(folder, { recursive: true }));

let log: LogFile;
let signer: Signer;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
});

/** Runs the command on files that are written first, by their names; other arguments are given as they are. */
async function verify(files: Readonly<Record<string, string | Uint8Array>>, ...more: string[]) {
  const out: string[] = [];
  const err: string[] = [];
  for (const [name, content] of Object.entries(files)) writeFileSync(join(folder, name), content);
  const paths = Object.keys(files).map((name) => join(folder, name));
  const status = await verifyCommand([...paths, ...more], {
    out: (line) => out.push(line),
    err: (line) => err.push(line),
  });
  return { status, out: out.map((line) => line.replaceAll(`${folder}/`, '')), err: err.join('\n') };
}

describe('verify', () => {
  it('says of good logs, as JSON and as zip, what they are and who stands for them', async () => {
    const zip = new Uint8Array(await (await exportCheck(log, packedBy(signer))).arrayBuffer());
    const { status, out, err } = await verify({ 'a.json': JSON.stringify(log), 'a.zip': zip });
    expect([status, err]).toEqual([0, '']);
    expect(out).toHaveLength(2);
    expect(out[0]).toMatch(
      /^a\.json: KEY NOT COMPARED .*; nothing is wrong\. Engine 31, .* verdict pass, .* sealed with key .* countersigned by Capt\. R\. Whitehorse/,
    );
    expect(out[1]).toMatch(
      /^a\.zip, log\.json: KEY NOT COMPARED .*; nothing is wrong.*transcript\.vtt and figures\.csv and report\.html as sealed/,
    );
  });

  it('says which entry broke, and goes on with the others', async () => {
    const dropped = { ...log, entries: log.entries.toSpliced(12, 1) };
    const { status, out } = await verify({ 'bad.json': JSON.stringify(dropped), 'good.json': JSON.stringify(log) });
    expect(status).toBe(1);
    expect(out[0]).toBe('bad.json: WRONG: Entry 12 is missing.');
    expect(out[1]).toMatch(/nothing is wrong/);
  });

  it('tells two logs with one id and different contents', async () => {
    const other = await logOfCheck([startOf({ operator: 'M. Lindqvist' })], await newSigner());
    const { status, out } = await verify({ 'one.json': JSON.stringify(log), 'other.json': JSON.stringify(other) });
    expect(status).toBe(1);
    expect(out[1]).toMatch(
      /^other\.json: WRONG: Has the id of the log in .*one\.json, but differs from it from entry 0 on\.$/,
    );
  });

  it('tells files that it cannot use in one line each, on stderr', async () => {
    const { status, out, err } = await verify({ 'x.json': '{', 'y.json': '{}' }, join(folder, 'gone.json'));
    expect([status, out]).toEqual([2, []]);
    expect(err.split('\n')).toHaveLength(3);
    expect(err).toMatch(/x\.json: The log is cut short/);
    expect(err).toMatch(/y\.json: This is not a log/);
    expect(err).toMatch(/gone\.json: there is no such file/);
  });

  it('lets no text of a log steer the terminal', async () => {
    const { bel, esc } = { bel: '\u0007', esc: '\u001b' };
    const rig = { id: 'x', name: `${esc}[2J${bel}Engine\n31`, unit: 'psi' } as const;
    const { out } = await verify({ 't.json': JSON.stringify(await logOfCheck([startOf({ rig })], await newSigner())) });
    expect(out[0]).not.toMatch(/[\u0000-\u001f]/);
  });

  it('takes no countersignature by a key that the station does not know', async () => {
    const stranger = await newSigner();
    const by = { officer: 'Capt. R. Whitehorse', wall: WALL, key: stranger.publicKey };
    const forged = await signed(await logOfCheck(wholeCheck(), signer), { type: 'countersigned', ...by }, stranger);
    const keys = join(folder, 'keys.json');
    writeFileSync(keys, writeKeys([{ name: 'Tablet 31', key: signer.publicKey }]));
    const { status, out } = await verify({ 'forged.json': JSON.stringify(forged) }, '--keys', keys);
    expect(status).toBe(1);
    expect(out[0]).toMatch(/WRONG: “Countersigned by Capt\. R\. Whitehorse” was signed with an unknown key/);
    expect((await verify({ 'known.json': JSON.stringify(log) }, '--keys', keys)).status).toBe(0);
  });

  it('without a file says how it is used', async () => {
    expect(await verify({})).toMatchObject({ status: 2, out: [] });
    expect((await verify({}, '--help')).status).toBe(0);
  });

  it('verifies the worked example of the format', async () => {
    const example = /```json\n([\s\S]*?)```/.exec(readFileSync(FORMAT, 'utf8'))?.[1] ?? '';
    const { status, out } = await verify({ 'example.json': example });
    expect([status, out[0]]).toEqual([0, expect.stringMatching(/nothing is wrong\. Engine 31/)]);
  });

  it('looks for oddities when it is asked to: five checks that are one another’s copies are odd, and not wrong', async () => {
    const zips = await Promise.all(
      [1, 2, 3, 4, 5, 6].map(async (day) => {
        const wall = `2026-05-0${day}T07:30:00.000Z`;
        const events = wholeCheck().map((event) =>
          event.type === 'start'
            ? { ...event, wall }
            : event.type === 'callout'
              ? { ...event, source: 'voice' as const }
              : event,
        );
        return [`day-${day}.json`, JSON.stringify(await logOfCheck(events, signer, `day-${day}`))] as const;
      }),
    );
    // All with the first number of one device: that is another matter, which is told as well.
    const { out } = await verify(Object.fromEntries(zips), '--oddities');
    const odd = out.filter((line) => line.startsWith('ODD: '));
    expect(odd.join()).toMatch(
      /Engine 31, A\. Okafor, 6 checks: \d+ of \d+ pauses of two checks \(.*\) are alike to 5 ms; expected: /,
    );
    expect(out.find((line) => line.startsWith('Oddities: '))).toMatch(
      /honest checks give any in at most 1 of 100 audits; an oddity is no proof/,
    );
    expect(out.find((line) => line.startsWith('Not asked (no-speech)'))).toContain('too few clips');
    const plain = await verify(Object.fromEntries(zips));
    expect(plain.out.join()).not.toMatch(/ODD|Oddities/);
  });
});
