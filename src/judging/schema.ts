import * as v from 'valibot';

/** Pieces shared by the schemas of profiles and rigs. */
export const text = v.pipe(v.string(), v.trim(), v.nonEmpty());
export const idText = v.pipe(v.string(), v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/));
export const positive = v.pipe(v.number(), v.finite(), v.gtValue(0));
export const pressureUnit = v.picklist(['psi', 'kPa']);

/** What is wrong, at which JSON path, and what to do, from an issue that the schema library found. */
export function describeIssue(issue: v.BaseIssue<unknown>): {
  readonly path: string;
  readonly what: string;
  readonly repair: string;
} {
  const path = (issue.path ?? [])
    .map(({ key }) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`))
    .join('')
    .replace(/^\./, '');
  const name = path === '' ? 'the file' : path;
  if (issue.received === 'undefined') return { path, what: `${name} is missing.`, repair: 'Add it.' };
  if (issue.expected === 'never')
    return { path, what: `${name} is not an entry that is known here.`, repair: 'Remove it or correct its name.' };
  if (issue.type === 'non_empty') return { path, what: `${name} is empty.`, repair: 'Fill it in.' };
  const expected = (issue.expected ?? issue.type).replaceAll(' | ', ' or ').replace(/^\((.*)\)$/, '$1');
  return { path, what: `${name} is ${issue.received}, which is not possible.`, repair: `Use ${expected}.` };
}
