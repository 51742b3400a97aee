import * as v from 'valibot';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { duplicateMember } from './duplicate-members.ts';
import { isKnownEvent, publicKey } from './event-shape.ts';
import type { Entry, LogFile } from './log.ts';
import { LOG_FORMAT, ITEMLESS_VERSION, LOG_VERSION, UNCHAINED_VERSION } from './log.ts';

/** Strict: a member outside the digest could say anything. */
const entry = v.strictObject({
  index: v.pipe(v.number(), v.safeInteger(), v.minValue(0)),
  previous: v.string(),
  event: v.custom<Record<string, unknown>>(isKnownEvent, 'is not an event that this version knows'),
  digest: v.string(),
  signature: v.exactOptional(v.string()),
});

const logFile = v.strictObject({
  header: v.looseObject({
    format: v.literal(LOG_FORMAT),
    version: v.picklist([UNCHAINED_VERSION, ITEMLESS_VERSION, LOG_VERSION]),
    check: v.pipe(v.string(), v.nonEmpty()),
    created: v.string(),
    app: v.string(),
    digest: v.literal('SHA-256'),
    device: publicKey,
    throwaway: v.exactOptional(v.literal(true)),
  }),
  entries: v.array(entry),
  end: v.strictObject({ count: v.number(), head: v.string() }),
});

/** Deeper nesting than any log has; a file made to exhaust the reader has more. */
const MAX_DEPTH = 64;

/**
 * A log from the text of its file. `where` names the file in problems. What it says is not checked here: see `verifyLog`.
 * Refused are what is no JSON, is no log, comes from a newer version, or lacks the shape of a log; the place is named.
 */
export function readLog(text: string, where: string): Outcome<LogFile> {
  let json: unknown;
  // Editors of some systems put a mark of the byte order before the text.
  const plain = text.replace(/^\ufeff/, '');
  try {
    json = JSON.parse(plain);
  } catch {
    return bad('The log is cut short, or is not JSON.', where, 'Copy or export it again.');
  }
  const log = logOf(json, where);
  if (!log.ok) return log;
  const twice = duplicateMember(plain, json);
  if (twice === undefined) return log;
  return bad(
    `The log has an object with two members ${JSON.stringify(twice)}: programs would differ in what it says.`,
    where,
    'Do not trust this file.',
  );
}

/** As `readLog`, from parsed JSON. */
export function logOf(json: unknown, where: string): Outcome<LogFile> {
  if (deeperThan(json, MAX_DEPTH)) return bad('The file is nested deeper than any log.', where);
  const parsed = v.safeParse(logFile, json, { abortEarly: true });
  if (parsed.success) return good(json as LogFile);
  const version = versionOf(json);
  if (version === undefined)
    return bad('This is not a log of a check.', where, 'Choose an exported zip, or the log.json in it.');
  if (version > LOG_VERSION) {
    return bad(
      `The log has the format version ${version}; this program knows version ${LOG_VERSION}.`,
      where,
      'Update the program on this device, then try again.',
    );
  }
  const issue = parsed.issues[0];
  const path = (issue.path ?? []).map(({ key }) => String(key));
  const [list, place] = path;
  if (list === 'entries' && place !== undefined) {
    return bad(
      `Entry ${place} has not the shape of an entry${member(path[2])}; the log was damaged or edited there.`,
      `${where}, ${path.join('.')}`,
    );
  }
  return bad(
    `The log's ${path.join('.') || 'beginning'} is missing or not as it should be; the log was damaged or edited there.`,
    where,
  );
}

function member(name: string | undefined): string {
  return name === undefined ? '' : ` (its ${name})`;
}

/** An entry by itself, from parsed JSON; undefined for what has not its shape. What it says is not checked here. */
export function readEntry(json: unknown): Entry | undefined {
  return !deeperThan(json, MAX_DEPTH) && v.is(entry, json) ? (json as unknown as Entry) : undefined;
}

/** The version number of anything that says it is a log. */
function versionOf(json: unknown): number | undefined {
  const claims = v.safeParse(
    v.looseObject({ header: v.looseObject({ format: v.literal(LOG_FORMAT), version: v.number() }) }),
    json,
  );
  return claims.success ? claims.output.header.version : undefined;
}

function deeperThan(json: unknown, depth: number): boolean {
  let level: unknown[] = [json];
  for (let at = 0; at <= depth && level.length > 0; at += 1) {
    level = level.flatMap((value) =>
      typeof value === 'object' && value !== null ? Object.values<unknown>(value as Record<string, unknown>) : [],
    );
  }
  return level.length > 0;
}
