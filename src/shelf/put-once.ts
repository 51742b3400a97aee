import type { Place, PutAnswer, Refused } from './place.ts';

/**
 * Puts an object that has one name and one form. What is there already is read back, where this shelf file may read: half an upload that a
 * store has kept, or something of somebody else's, must not pass for ours.
 */
export async function putOnce(
  place: Pick<Place, 'put' | 'get'>,
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
): Promise<PutAnswer> {
  const put = await place.put(name, bytes, 'once');
  if (put.kind !== 'there') return put;
  const got = await place.get(name);
  if (got.kind === 'got') return isSame(got.bytes, bytes) ? put : other(name);
  if (got.kind === 'none')
    return refused(
      'busy',
      'The store says that it has an object, and does not give it.',
      name,
      'It is asked again later.',
    );
  // Who may only put is not shown what is there: `collect` sees it.
  if (got.why === 'rights' || got.why === 'address') return put;
  return got.why === 'object' ? other(name) : got;
}

function other(name: string): Refused {
  const what = 'The shelf has something else under the name of this object, and keeps it.';
  return refused('object', what, name, 'The district has to take it away; then choose “Send all again”.');
}

function refused(why: Refused['why'], what: string, where: string, repair: string): Refused {
  return { kind: 'refused', why, problem: { what, where, repair } };
}

function isSame(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}
