import { contentsOf } from '../../../src/record/contents.ts';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { chainNext, headerDigest, newHeader, sealNext, signedNext } from '../../../src/record/chain.ts';
import type { Fault } from '../../../src/record/fault.ts';
import type { Entry, LogEvent, LogFile } from '../../../src/record/log.ts';
import { logOf, readLog } from '../../../src/record/read-log.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { anyEvents } from '../check/support/arbitrary.ts';
import { startOf } from '../check/support/say.ts';
import { bad } from '../../../src/units/outcome.ts';
import { APP, copyOf, logOfCheck, newSigner, officersLog, signed, WALL } from './logs.ts';

let signer: Signer;
let log: LogFile;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
});

/** What is said of a log as it would be read from a file: faults, or the one problem that refuses it. */
async function judged(json: unknown): Promise<readonly Fault[]> {
  const read = logOf(copyOf(json), 'log.json');
  if (read.ok) return (await verifyLog(read.value)).faults;
  const place = /entries\.(\d+)/.exec(read.problem.where ?? '')?.[1];
  return [{ kind: 'edited', what: read.problem.what, ...(place === undefined ? {} : { entry: Number(place) }) }];
}

const withEntries = (entries: readonly Entry[], from: LogFile = log): LogFile => ({ ...from, entries });

/** Every path to a value in a JSON tree that is no object itself. */
function leaves(value: unknown, path: readonly string[] = []): string[][] {
  if (typeof value !== 'object' || value === null) return [[...path]];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, [...path, key]));
}

/** The value with the leaf at `path` changed; a leaf of any kind becomes another of its kind, or, where `alien`, of another. */
function edited<T>(value: T, path: readonly string[], alien: boolean): T {
  const copy = copyOf(value);
  let inner = copy as Record<string, unknown>;
  for (const key of path.slice(0, -1)) inner = inner[key] as Record<string, unknown>;
  const last = path.at(-1)!;
  const old = inner[last];
  inner[last] = alien ? [old] : typeof old === 'number' ? old + 1 : typeof old === 'string' ? `${old}0` : !old;
  return copy;
}

/** Sealed logs of anything that may happen in a check, some with an officer's entries. */
const anyLog = fc.tuple(anyEvents, fc.boolean()).map(([events, withOfficer]) => async () => {
  const sealed = await logOfCheck([startOf(), ...events], signer);
  if (!withOfficer) return sealed;
  return signed(
    sealed,
    { type: 'countersigned', officer: 'Capt. R. Whitehorse', wall: WALL, key: signer.publicKey },
    signer,
  );
});
const pick = fc.nat();
const RUNS = { numRuns: 40 };

describe('any log', { timeout: 600_000 }, () => {
  it('verifies as it was written', async () => {
    expect(await judged(log)).toEqual([]);
    await fc.assert(
      fc.asyncProperty(anyLog, async (make) => {
        expect(await judged(await make())).toEqual([]);
      }),
      RUNS,
    );
  });

  it('shows any single edit of an entry, and where', async () => {
    await fc.assert(
      fc.asyncProperty(anyLog, pick, pick, fc.boolean(), async (make, a, b, alien) => {
        const { entries, ...rest } = await make();
        const at = a % entries.length;
        const paths = leaves(entries[at]);
        const changed = entries.map((entry, place) =>
          place === at ? edited(entry, paths[b % paths.length]!, alien) : entry,
        );
        const faults = await judged({ ...rest, entries: changed });
        expect(faults.map(({ entry }) => entry)).toEqual([at]);
      }),
      { numRuns: 100 },
    );
  });

  it('shows any single entry that was dropped, and where', async () => {
    await fc.assert(
      fc.asyncProperty(anyLog, pick, async (make, a) => {
        const whole = await make();
        const at = a % whole.entries.length;
        const faults = await judged(withEntries(whole.entries.toSpliced(at, 1), whole));
        expect(faults[0]).toMatchObject({ kind: 'dropped', entry: at });
        expect(faults.slice(1).every(({ kind }) => kind === 'unfinished')).toBe(true);
      }),
      RUNS,
    );
  });

  it('shows any entry that is there twice, wherever the copy was put', async () => {
    await fc.assert(
      fc.asyncProperty(anyLog, pick, pick, async (make, a, b) => {
        const whole = await make();
        const at = a % whole.entries.length;
        const to = b % (whole.entries.length + 1);
        const faults = await judged(withEntries(whole.entries.toSpliced(to, 0, whole.entries[at]!), whole));
        // Of two that are the same, the later one is named; put before its original, the copy is also out of order.
        const later = to <= at ? at + 1 : to;
        expect(faults.filter(({ kind }) => kind === 'duplicated').map(({ entry }) => entry)).toEqual([later]);
      }),
      RUNS,
    );
  });

  it('shows any two entries that were swapped, and which', async () => {
    await fc.assert(
      fc.asyncProperty(anyLog, pick, pick, async (make, a, b) => {
        const whole = await make();
        const [one, two] = [a % whole.entries.length, b % whole.entries.length].sort((x, y) => x - y) as [
          number,
          number,
        ];
        fc.pre(one !== two);
        const swapped = whole.entries.with(one, whole.entries[two]!).with(two, whole.entries[one]!);
        const faults = await judged(withEntries(swapped, whole));
        expect(faults.map(({ kind, entry }) => [kind, entry])).toEqual([
          ['swapped', one],
          ['swapped', two],
        ]);
      }),
      RUNS,
    );
  });

  it('shows an entry that was rewritten with a fresh digest', async () => {
    await fc.assert(
      fc.asyncProperty(anyLog, pick, async (make, a) => {
        const whole = await make();
        const at = a % whole.entries.length;
        const { index, previous, event, ...rest } = whole.entries[at]!;
        const forged = {
          ...rest,
          ...(await chainNext(previous, index, { ...event, forged: true } as unknown as LogEvent)),
        };
        const faults = await judged(withEntries(whole.entries.with(at, forged), whole));
        expect(faults.map(({ entry }) => entry)).toContain(at);
      }),
      RUNS,
    );
  });
});

describe('a log', () => {
  it('shows a header that was edited, member by member', async () => {
    for (const path of leaves(log.header)) {
      const faults = await judged({ ...log, header: edited(log.header, path, false) });
      expect(faults.length, path.join('.')).toBeGreaterThan(0);
    }
    const renamed = { ...log, header: { ...log.header, check: 'c2' } };
    expect((await judged(renamed)).map(({ kind }) => kind)).toEqual(['header-edited']);
  });

  it('is not good when whoever edited it made a whole new chain, because the seal is the device’s', async () => {
    const stranger = await newSigner();
    const first = await headerDigest(log.header);
    const start = await chainNext(first, 0, startOf({ operator: 'M. Lindqvist' }));
    const seal = await sealNext(start.digest, 1, WALL, stranger);
    const faults = await judged({ ...log, entries: [start, seal], end: { count: 2, head: seal.digest } });
    expect(faults.map(({ kind, entry }) => [kind, entry])).toEqual([['signature', 1]]);
  });

  it('names the key, so that a log forged with another key can be told', async () => {
    const other = await logOfCheck([startOf()], await newSigner());
    const [ours, theirs] = [await verifyLog(log), await verifyLog(other)];
    expect(theirs.faults).toEqual([]);
    expect(theirs.device).not.toBe(ours.device);
    expect(ours.device).toMatch(/^[0-9a-f]{4}( [0-9a-f]{4}){3}$/);
  });

  it('without a seal is unfinished', async () => {
    const entries = log.entries.slice(0, 5);
    const open = { ...log, entries, end: { count: 5, head: entries[4]!.digest } };
    expect((await judged(open)).map(({ kind }) => kind)).toEqual(['unfinished']);
  });

  it('may not go on after its seal but by an officer', async () => {
    const late = await chainNext(log.end.head, log.end.count, { type: 'time', at: 1 });
    const more = { ...log, entries: [...log.entries, late], end: { count: late.index + 1, head: late.digest } };
    expect((await judged(more)).map(({ kind, entry }) => [kind, entry])).toEqual([['misplaced', late.index]]);
  });

  it('says who countersigned, and that a countersignature with another’s key is none', async () => {
    expect((await verifyLog(log)).countersigned.map(({ officer }) => officer)).toEqual(['Capt. R. Whitehorse']);
    const by = { officer: 'Capt. R. Whitehorse', wall: WALL, key: signer.publicKey };
    const forged = await signed(log, { type: 'countersigned', ...by }, await newSigner());
    const found = await verifyLog(forged);
    expect(found.faults.map(({ kind, entry }) => [kind, entry])).toEqual([['signature', log.end.count]]);
    expect(found.countersigned).toHaveLength(1);
  });

  it('holds a clip to its digest, and does not miss a deleted one', async () => {
    const sound = new TextEncoder().encode('sound');
    // printf sound | sha256sum
    const clipDigest = 'dd29442deca69f52c50006b831cb216edf78a7da33748f0a80ff19f2ebe57ecd';
    const callout = {
      type: 'callout',
      at: 1,
      end: 2,
      heard: 'cut out',
      confidence: 1,
      source: 'voice',
      clip: 'x',
      clipDigest,
    } as const;
    const heard = await logOfCheck([startOf(), callout], signer);
    expect((await verifyLog(heard)).clips).toEqual({ sound: 0, photos: 0, gone: 1 });
    expect((await verifyLog(heard, new Map([[1, contentsOf(sound)]]))).faults).toEqual([]);
    const other = await verifyLog(heard, new Map([[1, contentsOf(new TextEncoder().encode('other'))]]));
    expect(other.faults).toEqual([
      { kind: 'clip', entry: 1, what: 'The clip of entry 1 is not the sound that was heard.' },
    ]);
    const unreadable = await verifyLog(heard, new Map([[1, () => Promise.resolve(bad('gone'))]]));
    expect(unreadable.faults.map(({ what }) => what)).toEqual(['The clip of entry 1 cannot be read.']);
    expect(unreadable.clips).toEqual({ sound: 0, photos: 0, gone: 0 });
    const stray = await verifyLog(heard, new Map([[0, contentsOf(sound)]]));
    expect(stray.faults.map(({ what }) => what)).toEqual(['There is a clip for entry 0, which names none.']);
  });

  it('whose signature was taken away, or put where none belongs, says whose it is', async () => {
    const unsigned = log.entries.map((entry) => {
      const bare: Partial<Entry> = { ...entry };
      delete (bare as { signature?: string }).signature;
      return bare as Entry;
    });
    const [seal, remark, countersigned] = [log.entries.length - 3, log.entries.length - 2, log.entries.length - 1];
    const found = await verifyLog({ ...log, entries: unsigned });
    expect(found.faults.map(({ what }) => what)).toEqual([
      `The signature of entry ${String(seal)} (seal) is not of the device's key.`,
      `The signature of entry ${String(remark)} (remark) is not of its officer's key.`,
      `The signature of entry ${String(countersigned)} (countersigned) is not of its officer's key.`,
    ]);
    expect(found.countersigned).toEqual([]);
    const signature = log.entries[seal]!.signature!;
    const put = await judged(withEntries(log.entries.with(4, { ...log.entries[4]!, signature })));
    expect(put).toEqual([
      { kind: 'edited', entry: 4, what: 'Entry 4 was edited: it has a signature that it cannot have.' },
    ]);
  });

  it('that was cut at its very end is short, though every entry that is left is sound', async () => {
    const cut = await judged(withEntries(log.entries.slice(0, -1)));
    const last = log.entries.length - 1;
    expect(cut).toEqual([{ kind: 'dropped', entry: last, what: `Entry ${String(last)} is missing.` }]);
    const two = await judged(withEntries(log.entries.slice(0, -2)));
    expect(two[0]?.what).toBe(`Entries ${String(last - 1)} to ${String(last)} are missing.`);
    const other = await judged({ ...log, end: { ...log.end, head: log.entries[0]!.digest } });
    expect(other).toEqual([
      {
        kind: 'cut-short',
        entry: last,
        what: 'The end of the file does not fit its last entry: one of them was replaced.',
      },
    ]);
    const none = await judged({ ...log, entries: [], end: { count: 0, head: 'x' } });
    expect(none.map(({ kind, entry }) => [kind, entry])).toEqual([
      ['cut-short', undefined],
      ['unfinished', undefined],
    ]);
  });

  it('says which of its device’s seals it has, and the one before', async () => {
    expect((await verifyLog(log)).seal).toEqual({ number: 1, digest: log.entries.at(-3)!.digest });
    const start = await chainNext(await headerDigest(log.header), 0, startOf());
    const before = { number: 4, digest: 'f'.repeat(64) };
    const fifth = await sealNext(start.digest, 1, WALL, signer, before);
    const chained = { ...log, entries: [start, fifth], end: { count: 2, head: fifth.digest } };
    expect((await verifyLog(chained)).seal).toEqual({ number: 5, digest: fifth.digest, last: before.digest });
    expect((await verifyLog(chained)).faults).toEqual([]);
    // The fifth has one before it, the first has none.
    for (const change of [{ number: 5 }, { number: 1, last: before.digest }, { number: 0 }, { number: 1.5 }]) {
      const event = { type: 'seal', count: 1, head: start.digest, wall: WALL, ...change } as const;
      const odd = await signedNext(start.digest, 1, event, signer);
      const faults = await judged({ ...log, entries: [start, odd], end: { count: 2, head: odd.digest } });
      expect(faults.map(({ what }) => what)).toEqual([
        'The seal in entry 1 does not say which of its device’s seals it is.'.replace('’', "'"),
      ]);
    }
  });

  it('whose seal is over other entries, or which does not begin with a start, has them misplaced', async () => {
    const start = await chainNext(await headerDigest(log.header), 0, startOf());
    for (const change of [{ count: 2 }, { head: 'x' }]) {
      const event = { type: 'seal', count: 1, head: start.digest, wall: WALL, number: 1, ...change } as const;
      const seal = await signedNext(start.digest, 1, event, signer);
      const faults = await judged({ ...log, entries: [start, seal], end: { count: 2, head: seal.digest } });
      expect(faults.map(({ what }) => what)).toEqual(['The seal in entry 1 is not over the entries before it.']);
    }
    const time = await chainNext(await headerDigest(log.header), 0, { type: 'time', at: 1 });
    const seal = await sealNext(time.digest, 1, WALL, signer);
    const faults = await judged({ ...log, entries: [time, seal], end: { count: 2, head: seal.digest } });
    expect(faults.map(({ what }) => what)).toContain('The log does not begin with the start of a check.');
  });
});

describe('reading a log', () => {
  it('refuses a newer version in plain words', () => {
    const newer = { ...log, header: { ...newHeader('c1', WALL, APP, signer), version: 4 } };
    const read = readLog(JSON.stringify(newer), 'later.json');
    expect(read).toMatchObject({ ok: false, problem: { where: 'later.json' } });
    expect(!read.ok && read.problem.what).toMatch(/version 4.*knows version 3/);
  });

  it.each([
    ['cut short', (text: string) => text.slice(0, text.length / 2), /cut short/],
    ['something else', () => '{"a":1}', /not a log/],
    ['a list', () => '[]', /not a log/],
    ['very deep', () => '['.repeat(5000) + ']'.repeat(5000), /nested deeper/],
    ['just deeper than may be', () => '['.repeat(66) + ']'.repeat(66), /nested deeper/],
  ])('refuses what is %s', (_name, spoil, expected) => {
    const read = readLog(spoil(JSON.stringify(log)), 'log.json');
    expect(read.ok).toBe(false);
    expect(!read.ok && read.problem.what).toMatch(expected);
  });
});
