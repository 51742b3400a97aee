import * as v from 'valibot';

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
