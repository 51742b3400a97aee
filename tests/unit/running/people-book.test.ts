import { describe, expect, it } from 'vitest';
import { PeopleBook, readPeople } from '../../../src/running/people-book.ts';
import { offeredNames } from '../../../src/running/people.ts';

const CAPT = 'Capt. R. Whitehorse';
const PIN = '739104';

/** A list that starts as the app comes, on a clock that the test moves, in seconds. */
function bench(stored = new Map<string, unknown>()) {
  let now = Date.parse('2026-05-04T07:00:00.000Z');
  const small = {
    get: (name: string) => stored.get(name),
    set: (name: string, value: unknown) => void stored.set(name, JSON.parse(JSON.stringify(value))),
  };
  const wall = (): string => new Date(now).toISOString();
  return { stored, pass: (seconds: number) => (now += seconds * 1000), open: () => new PeopleBook(small, wall, 1) };
}
const line = (outcome: { ok: boolean; problem?: { what: string } }): string =>
  outcome.ok ? 'good' : (outcome.problem?.what ?? '');

describe('the people of a department', () => {
  it('are made-up ones at first, and then those that were added and not retired', () => {
    const { stored, open } = bench();
    expect(offeredNames(stored.get('people'))).toEqual(['A. Okafor', 'M. Lindqvist', CAPT]);
    const book = open();
    expect(book.add('  P. Serrano ', 'operator').ok).toBe(true);
    book.retire('A. Okafor');
    book.remove('M. Lindqvist');
    expect(offeredNames(stored.get('people'))).toEqual([CAPT, 'P. Serrano']);
    expect(offeredNames(stored.get('people'), 'operator')).toEqual(['P. Serrano']);
    book.bringBack('A. Okafor');
    expect(offeredNames(stored.get('people'), 'operator')).toEqual(['A. Okafor', 'P. Serrano']);
  });

  it.each(['', '   ', 'x'.repeat(61), 'A.\u0007 Okafor', 'A. Okafor'])('refuse the name %j', (name) => {
    const { open } = bench();
    expect(line(open().add(name, 'operator'))).toMatch(/1 to 60 printable|in the list already/);
    expect(open().all).toHaveLength(3);
  });

  it('are read from what was stored, whatever it is', () => {
    expect(readPeople('x')).toHaveLength(3);
    expect(readPeople([])).toEqual([]);
    const stored = [7, null, { name: '' }, { name: CAPT, role: 'officer', key: { made: 'never' }, wrong: 9 }];
    expect(readPeople(stored)).toEqual([{ name: CAPT, role: 'officer' }]);
    expect(offeredNames(stored)).toEqual([CAPT]);
  });
});

describe('an officer’s PIN', () => {
  it('opens the key, also after a reload', async () => {
    const { open } = bench();
    expect((await open().makeKey(CAPT, PIN)).ok).toBe(true);
    expect(line(await open().openKey(CAPT, PIN))).toBe('good');
  });

  it('that is wrong is one line; then the waits grow, over reloads, and the right one ends them', async () => {
    const { open, pass } = bench();
    await open().makeKey(CAPT, PIN);
    expect(line(await open().openKey(CAPT, '739105'))).toBe('Wrong PIN. Nothing was signed.');
    await open().openKey(CAPT, '739105');
    expect(line(await open().openKey(CAPT, '739105'))).toBe(
      'Wrong PIN. The next can be tried in 5 s. Nothing was signed.',
    );
    expect(line(await open().openKey(CAPT, PIN))).toBe('Too many wrong PINs: the next can be tried in 5 s.');
    pass(5);
    expect(line(await open().openKey(CAPT, '739105'))).toMatch(/in 10 s/);
    pass(10);
    expect(line(await open().openKey(CAPT, PIN))).toBe('good');
    expect(line(await open().openKey(CAPT, '739105'))).toBe('Wrong PIN. Nothing was signed.');
  });

  it('that was forgotten gives way to a new key, which says so', async () => {
    const { open } = bench();
    await open().makeKey(CAPT, PIN);
    await open().makeKey(CAPT, 'engine bay');
    const opened = await open().openKey(CAPT, 'engine bay');
    expect(opened.ok && opened.value.replaces).toMatch(/^[0-9a-f]{64}$/);
    expect((await open().openKey(CAPT, PIN)).ok).toBe(false);
  });

  it.each([['Nobody'], ['A. Okafor'], [''], [CAPT]])('is not asked of %j, who has no key', async (name) => {
    expect(line(await bench().open().openKey(name, PIN))).toMatch(/is not an officer|has no key on this device/);
  });

  it('signs no more once the officer is retired, and again when they are back', async () => {
    const { open } = bench();
    await open().makeKey(CAPT, PIN);
    open().retire(CAPT);
    expect(line(await open().openKey(CAPT, PIN))).toMatch(/is not an officer/);
    expect(line(await open().makeKey(CAPT, PIN))).toMatch(/is not an officer/);
    open().bringBack(CAPT);
    expect(line(await open().openKey(CAPT, PIN))).toBe('good');
  });
});
