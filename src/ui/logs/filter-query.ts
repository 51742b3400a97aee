import type { Filter } from '../../audit/filter.ts';

const WORDS = ['text', 'rig', 'operator', 'from', 'to', 'verdict', 'step'] as const;
const MARKS = ['drifting', 'unsigned', 'troubled'] as const;

/** A filter as the address holds it, so that a list can be linked to. */
export function queryOf(filter: Filter): string {
  const query = new URLSearchParams();
  for (const name of WORDS) if (filter[name] !== undefined) query.set(name, filter[name]);
  for (const name of MARKS) if (filter[name] === true) query.set(name, '1');
  return query.toString();
}

/** The filter of an address; what it does not know is ignored. */
export function filterOf(query: string): Filter {
  const found = new URLSearchParams(query);
  const words = WORDS.flatMap((name) => {
    const value = found.get(name) ?? '';
    return value === '' ? [] : [[name, value]];
  });
  const marks = MARKS.flatMap((name) => (found.get(name) === '1' ? [[name, true]] : []));
  return Object.fromEntries([...words, ...marks]) as Filter;
}
