import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { LogFile } from '../../../src/record/log.ts';
import { verdictOn } from '../../support/verify-log.ts';
import { startOf } from '../check/support/say.ts';
import { copyOf, examinedLog, logOfCheck, newSigner, officersLog } from './logs.ts';

const FORMAT = readFileSync(new URL('../../../src/record/FORMAT.md', import.meta.url), 'utf8');

/** A log that can be changed. */
interface Loose {
  entries: { index: number; event: Record<string, unknown>; signature?: string }[];
  end: { count: number; head: string };
}

const verdict = (log: unknown): string => verdictOn(JSON.stringify(log));

describe('a verifier of its own, by FORMAT.md alone, with another library for digests and signatures', () => {
  let log: LogFile;
  let seal = 0;
  beforeAll(async () => {
    log = await officersLog(await newSigner());
    seal = log.entries.findIndex(({ event }) => event.type === 'seal');
  });
  const changed = (change: (copy: Loose) => void): string => {
    const copy = copyOf(log) as unknown as Loose;
    change(copy);
    return verdict(copy);
  };

  it('verifies the example of FORMAT.md', () => {
    const example = /## Example\s+```json\n([\s\S]*?)```/.exec(FORMAT)?.[1] ?? '';
    expect(verdictOn(example)).toBe('verified');
  });

  it('verifies a whole log: chain, seal, remark, countersignature', () => {
    expect(verdict(log)).toBe('verified');
    expect(verdict({ ...log, entries: log.entries.slice(0, seal), end: log.end })).toBe('no seal');
  });

  it('verifies the log of an examination, and finds a mark of the examiner that was changed', async () => {
    const examined = copyOf(await examinedLog(await newSigner())) as unknown as Loose;
    expect(verdict(examined)).toBe('verified');
    const put = examined.entries.find(({ event }) => event['type'] === 'examiner')!;
    put.event['text'] = 'looked at everything';
    expect(verdict(examined)).toBe(`entry ${put.index} breaks the chain`);
  });

  it('agrees on numbers and names of every shape', async () => {
    const callout = {
      type: 'callout',
      at: 0.1 + 0.2,
      end: 1e21,
      heard: '€ “\u007f\u0000\n\\"😀\ufb33',
      confidence: 1e-7,
      source: 'voice',
    } as const;
    const more = {
      '\ufb33': -0.000001,
      '😀': 123456789012345680000,
      a: -0,
      b: 5e-324,
      c: 4.5,
      d: 1.7976931348623157e308,
    };
    const odd = await logOfCheck([startOf(), { ...callout, ...{ more } }], await newSigner());
    expect(verdict(odd)).toBe('verified');
  });

  it('finds what was edited, dropped, doubled, swapped or cut, and signatures that are another’s', () => {
    expect(changed(({ entries }) => (entries[5]!.event['heard'] = 'other'))).toBe('entry 5 breaks the chain');
    expect(changed(({ entries }) => entries.splice(3, 1))).toBe('entry 3 breaks the chain');
    expect(changed(({ entries }) => entries.splice(3, 0, entries[3]!))).toBe('entry 4 breaks the chain');
    expect(changed(({ entries }) => entries.splice(3, 2, entries[4]!, entries[3]!))).toBe('entry 3 breaks the chain');
    expect(changed(({ entries }) => entries.pop())).toBe('the file was cut');
    const wrong = `the signature of entry ${seal} is wrong`;
    expect(changed(({ entries }) => (entries[seal]!.signature = entries[seal + 1]!.signature!))).toBe(wrong);
    expect(changed(({ entries }) => delete entries[seal]!.signature)).toBe(wrong);
  });
});
