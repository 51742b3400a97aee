import { describe, expect, it } from 'vitest';
import type { Entry } from '../../../src/record/log.ts';
import { missing, orderFaults, type Placed } from '../../../src/record/sequence.ts';

const FIRST = 'header';

/** An entry that carries its own number, with a readable word for its digest. */
function entry(index: number, previous = index === 0 ? FIRST : `d${index - 1}`, digest = `d${index}`): Entry {
  return { index, previous, digest, event: { type: 'time', at: index } };
}

const chain = (count: number): Entry[] => Array.from({ length: count }, (_, index) => entry(index));

/** What is said of the entries in this order; those in `unsound` do not have the digest of what they say. */
function said(entries: readonly Entry[], unsound: readonly number[] = []): string[] {
  const placed = entries.map((each, place): Placed => ({ entry: each, place, sound: !unsound.includes(place) }));
  return orderFaults(placed, FIRST).map(({ kind, entry: at, what }) => `${kind} at ${at ?? 'the header'}: ${what}`);
}

describe('what is wrong with the order of entries', () => {
  it('nothing, of a chain and of no entries at all', () => {
    expect(said(chain(6))).toEqual([]);
    expect(said([])).toEqual([]);
  });

  it('an entry that was edited, told once, and the entries around it stand', () => {
    expect(said(chain(6), [2])).toEqual(['edited at 2: Entry 2 was edited: its digest is not that of what it says.']);
    expect(said(chain(6), [0])).toEqual(['edited at 0: Entry 0 was edited: its digest is not that of what it says.']);
    expect(said(chain(6), [5])).toEqual(['edited at 5: Entry 5 was edited: its digest is not that of what it says.']);
  });

  it('an entry whose number was edited too: it stands where it is, and nothing is missing', () => {
    const entries = chain(6).with(2, { ...entry(2), index: 40 });
    expect(said(entries, [2])).toEqual(['edited at 2: Entry 2 was edited: its digest is not that of what it says.']);
  });

  it('entries that are missing, one or several, at the beginning or within', () => {
    expect(said(chain(6).toSpliced(3, 1))).toEqual(['dropped at 3: Entry 3 is missing.']);
    expect(said(chain(6).toSpliced(1, 3))).toEqual(['dropped at 1: Entries 1 to 3 are missing.']);
    expect(said(chain(6).slice(2))).toEqual(['dropped at 0: Entries 0 to 1 are missing.']);
    expect(missing(7, 7).what).toBe('Entry 7 is missing.');
  });

  it('an entry that is there twice, named by its later place', () => {
    expect(said(chain(5).toSpliced(4, 0, entry(1)))).toEqual([
      'duplicated at 4: Entry 1 is there twice; the second time in place 4.',
    ]);
  });

  it('two entries that were swapped, each with its place', () => {
    expect(said([entry(0), entry(3), entry(2), entry(1), entry(4)])).toEqual([
      'swapped at 1: Entry 3 stands out of order, in place 1.',
      'swapped at 3: Entry 1 stands out of order, in place 3.',
    ]);
  });

  it('an entry that was replaced as a whole: the one after it is chained to another', () => {
    const replaced = chain(5).with(2, entry(2, 'd1', 'forged'));
    expect(said(replaced)).toEqual([
      'edited at 2: Entry 2 was replaced: the entry after it is chained to another one.',
    ]);
  });

  it('a header that was edited: the first entry is chained to another', () => {
    expect(said(chain(4).with(0, entry(0, 'other')))).toEqual([
      'header-edited at the header: The header was edited: the first entry is chained to another one.',
    ]);
  });

  it('an edited entry that also lost its neighbour: both are told', () => {
    expect(said(chain(6).toSpliced(3, 1), [1])).toEqual([
      'edited at 1: Entry 1 was edited: its digest is not that of what it says.',
      'dropped at 3: Entry 3 is missing.',
    ]);
  });
});
