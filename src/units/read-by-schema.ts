import * as v from 'valibot';
import { jsonPath } from './json-path.ts';
import { bad, good, type Outcome } from './outcome.ts';

/** A mistake in a file of JSON. */
export interface Fault {
  /** JSON path in the file; empty for the whole. */
  readonly path: string;
  readonly what: string;
  readonly repair: string;
}

/** What a schema alone does not say of a file. */
interface More<T> {
  /** A mistake that the schema cannot see: values that are each possible, but not together. */
  readonly rule?: (read: T) => Fault | undefined;
  /** Better words for a mistake at this path of what was read; undefined where there are none. */
  readonly told?: (path: string, received: string) => Fault | undefined;
}

/** A value of JSON read by a schema; or its first mistake, with what to do. `where` names the file. */
export function readBySchema<T>(
  schema: v.GenericSchema<unknown, T>,
  json: unknown,
  where: string,
  { rule, told }: More<T> = {},
): Outcome<T> {
  const parsed = v.safeParse(schema, json, { abortEarly: true });
  const fault = parsed.success ? rule?.(parsed.output) : faultOf(parsed.issues[0], told);
  if (fault !== undefined) return bad(fault.what, fault.path === '' ? where : `${where}, ${fault.path}`, fault.repair);
  return good(parsed.output as T);
}

function faultOf(issue: v.BaseIssue<unknown>, told: More<unknown>['told']): Fault {
  const path = jsonPath((issue.path ?? []).map(({ key }) => key));
  const better = told?.(path, issue.received);
  if (better !== undefined) return better;
  const name = path === '' ? 'The file' : path;
  if (issue.received === 'undefined') return { path, what: `${name} is missing.`, repair: 'Add it.' };
  if (issue.expected === 'never')
    return { path, what: `${name} is not an entry that is known here.`, repair: 'Remove it or correct its name.' };
  if (issue.type === 'non_empty') return { path, what: `${name} is empty.`, repair: 'Fill it in.' };
  // The library's own messages all begin so; a schema that has words of its own is understood better by them.
  if (!issue.message.startsWith('Invalid ')) return { path, what: `${name} ${issue.message}.`, repair: 'Correct it.' };
  const expected = (issue.expected ?? issue.type)
    .replaceAll(' | ', ', ')
    .replace(/^\((.*)\)$/, 'one of $1')
    .replace(/^<=/, 'at most ')
    .replace(/^>=/, 'at least ')
    .replace(/^>/, 'more than ');
  return { path, what: `${name} is ${issue.received}, which is not possible.`, repair: `Use ${expected}.` };
}
