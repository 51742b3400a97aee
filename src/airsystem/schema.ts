import * as v from 'valibot';
import type { Outcome, Problem } from '../units/outcome.ts';
import { good } from '../units/outcome.ts';
import { jsonPath } from '../units/json-path.ts';

/** A finite number from `min` to `max`, both included; `unit` only words the message. */
export function between(min: number, max: number, unit = '') {
  const range = `must be from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  return v.pipe(v.number(`${range}, as a number`), v.minValue(min, range), v.maxValue(max, range));
}

/** Text for a person: not empty, not a book. */
export const text = v.pipe(
  v.string('must be text'),
  v.trim(),
  v.minLength(1, 'must not be empty'),
  v.maxLength(2000, 'must be at most 2000 characters'),
);

/** A name used in files and logs. */
export const kebab = v.pipe(
  v.string('must be text'),
  v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be lower-case words and digits joined by hyphens'),
);

/** A mistake at a JSON path of the file `where`; the empty path is the whole. */
export function problemAt(path: string, reason: string, where: string, repair: string): Problem {
  if (path === '') return { what: `This ${reason}.`, where, repair };
  return { what: `${path} ${reason}.`, where, repair };
}

/** A value read by a schema; or the first mistake, with its path in the file `where`. */
export function readBy<T>(
  schema: v.GenericSchema<unknown, T>,
  json: unknown,
  where: string,
  repair: string,
): Outcome<T> {
  const result = v.safeParse(schema, json);
  if (result.success) return good(result.output);
  const issue = result.issues[0];
  const reason = issue.type === 'strict_object' ? keyReason(issue) : issue.message;
  return { ok: false, problem: problemAt(jsonPath((issue.path ?? []).map(({ key }) => key)), reason, where, repair) };
}

/** A missing or an unknown key, or something that is no object at all. */
function keyReason(issue: v.BaseIssue<unknown>): string {
  if (issue.expected === 'never') return 'is not a known key';
  if (issue.received === 'undefined') return 'is missing';
  return 'must be an object with named values';
}
