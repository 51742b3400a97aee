import { expect } from 'vitest';
import type { Place } from '../../../src/shelf/place.ts';

/** A store as the contract asks it. */
export interface Store {
  /** May do everything. `ahead`: ms that the device's clock is ahead of the store's. */
  readonly open: (ahead?: number) => Place;
  /** May only put. */
  readonly writer: () => Place;
  /** Has the wrong secret. */
  readonly stranger: () => Place;
  /** More names than the store lists in one part. */
  readonly many: number;
}

const bytes = (text: string) => new TextEncoder().encode(text);
const textOf = async (place: Place, name: string): Promise<string> => {
  const got = await place.get(name);
  return got.kind === 'got' ? new TextDecoder().decode(got.bytes) : got.kind;
};
const why = (answer: { readonly kind: string; readonly why?: string }): string => answer.why ?? answer.kind;

/** What every store has to do for a shelf, each as one case; asked of the stand-in and of the real ones. */
export const CONTRACT: Readonly<Record<string, (store: Store) => Promise<void>>> = {
  'puts an object once, and never over another': async ({ open }) => {
    const place = open();
    expect((await place.put('once/a/x.json', bytes('first'), 'once')).kind).toBe('put');
    expect((await place.put('once/a/x.json', bytes('second'), 'once')).kind).toBe('there');
    expect(await textOf(place, 'once/a/x.json')).toBe('first');
  },
  'lets one of two that put at the same time have the name': async ({ open }) => {
    const puts = ['one', 'other'].map((text) => open().put('race/x.json', bytes(text), 'once'));
    const kinds = (await Promise.all(puts)).map(why).sort();
    expect([
      ['put', 'there'],
      // Told to come again: then it is there.
      ['busy', 'put'],
    ]).toContainEqual(kinds);
  },
  'replaces what may be replaced': async ({ open }) => {
    const place = open();
    await place.put('again/index.json', bytes('old'), 'again');
    expect((await place.put('again/index.json', bytes('new'), 'again')).kind).toBe('put');
    expect(await textOf(place, 'again/index.json')).toBe('new');
  },
  'gives bytes as they were put, empty ones and all values': async ({ open }) => {
    const place = open();
    const all = Uint8Array.from({ length: 70_000 }, (_, at) => at % 256);
    await place.put('bytes/all.wav', all, 'once');
    await place.put('bytes/none.wav', new Uint8Array(), 'once');
    expect(await place.get('bytes/all.wav')).toEqual({ kind: 'got', bytes: all });
    expect(await place.get('bytes/none.wav')).toEqual({ kind: 'got', bytes: new Uint8Array() });
  },
  'says that there is nothing': async ({ open }) => {
    expect((await open().get('nothing/here.json')).kind).toBe('none');
    expect(await open().list('nothing')).toEqual({ kind: 'listed', files: [], folders: [] });
  },
  'lists what lies in a folder, all of it, and nothing below': async ({ open, many }) => {
    const place = open();
    const names = Array.from({ length: many }, (_, at) => `${String(at).padStart(5, '0')}.json`);
    await place.put('list/deep/deeper/x.json', bytes('x'), 'once');
    for (let at = 0; at < many; at += 20)
      await Promise.all(names.slice(at, at + 20).map((name) => place.put(`list/${name}`, bytes(name), 'once')));
    expect(await place.list('list')).toEqual({ kind: 'listed', files: names, folders: ['deep'] });
    const top = await place.list('');
    expect(top).toMatchObject({ kind: 'listed', files: [] });
    expect(top.kind === 'listed' && top.folders.includes('list')).toBe(true);
  },
  'takes an object out': async ({ open }) => {
    const place = open();
    await place.put('out/x.json', bytes('x'), 'once');
    expect((await place.remove('out/x.json')).kind).toBe('removed');
    expect((await place.get('out/x.json')).kind).toBe('none');
    expect((await place.put('out/x.json', bytes('y'), 'once')).kind).toBe('put');
  },
  'takes what is signed by a clock that is three hours off': async ({ open }) => {
    for (const ahead of [-3 * 3_600_000, 3 * 3_600_000]) {
      const name = `clock/${ahead}.json`;
      expect((await open(ahead).put(name, bytes('x'), 'once')).kind).toBe('put');
      expect(await textOf(open(ahead), name)).toBe('x');
    }
  },
  'turns away who has the wrong secret': async ({ stranger }) => {
    expect(why(await stranger().put('stranger/x.json', bytes('x'), 'once'))).toBe('rights');
    expect(why(await stranger().list(''))).toBe('rights');
  },
  'takes from who may only put, and shows them nothing': async ({ open, writer }) => {
    const place = writer();
    expect((await place.put('write/only/x.json', bytes('x'), 'once')).kind).toBe('put');
    expect((await place.put('write/only/x.json', bytes('y'), 'once')).kind).toBe('there');
    expect(why(await place.get('write/only/x.json'))).toBe('rights');
    expect(why(await place.list('write'))).toBe('rights');
    expect(why(await place.remove('write/only/x.json'))).toBe('rights');
    expect(await textOf(open(), 'write/only/x.json')).toBe('x');
  },
};
