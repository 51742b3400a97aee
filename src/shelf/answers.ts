import type { Refused, Why } from './place.ts';

/** As much of an answer over HTTP as decides what it means. */
export interface Answered {
  readonly status: number;
  /** `Code` of an error in the form of S3; empty where there is none. */
  readonly code: string;
  /** Seconds or a date, as in the header `Retry-After`. */
  readonly retryAfter?: string | null;
  /** ISO 8601 time of the store. */
  readonly theirs?: string;
}

const DISTRICT = 'Ask the district for a new shelf file.';
const LATER = 'What waits goes later, by itself.';

/** What an answer that is no success means, in one line; `where` names the shelf. `now` is ISO 8601. */
export function refusal({ status, code, retryAfter, theirs }: Answered, where: string, now: string): Refused {
  const told = (why: Why, what: string, repair: string): Refused => ({
    kind: 'refused',
    why,
    problem: { what: `${what} (${status}${code === '' ? '' : ` ${code}`}).`, where, repair },
    ...(theirs === undefined ? {} : { theirs }),
    ...waitOf(retryAfter, now),
  });
  if (code === 'RequestTimeTooSkewed' || code === 'RequestExpired')
    return told(
      'clock',
      `The clock of this device is ${apart(now, theirs)}`,
      'Set date, time and time zone of the device.',
    );
  if (code === 'SignatureDoesNotMatch' || code === 'InvalidAccessKeyId' || status === 401)
    return told('rights', 'The shelf does not know the name or the secret of this shelf file', DISTRICT);
  if (code === 'QuotaExceeded' || status === 507)
    return told('room', 'The shelf is full', 'The district has to make room.');
  if (code === 'NotImplemented' || status === 501)
    return told(
      'address',
      'The store cannot put an object only once (If-None-Match)',
      'The district has to choose a store that can.',
    );
  switch (status) {
    case 403:
      return told(
        'rights',
        'The shelf does not allow this',
        'The district has to give this shelf file the right to do it.',
      );
    case 404:
      return told('address', 'There is no shelf at this address', DISTRICT);
    case 405:
      return told('address', 'What is at this address does not take objects', DISTRICT);
    case 408:
    case 409:
    case 423:
    case 425:
    case 429:
      return told('busy', 'The shelf asks for patience', LATER);
    case 413:
      return told(
        'object',
        'The shelf takes no object of this size',
        'The district has to raise the limit of its store.',
      );
  }
  if (status >= 500) return told('busy', 'The shelf has a fault of its own', LATER);
  // A browser hides where a redirection leads, and gives it the status 0.
  if (status < 400) return told('address', 'The address of the shelf leads elsewhere', DISTRICT);
  return told('object', 'The shelf refuses this object', 'Ask the district to look into the log of its store.');
}

/** Nothing came back. */
export function unreachable(where: string): Refused {
  const problem = { what: 'The shelf does not answer.', where, repair: LATER };
  return { kind: 'refused', why: 'offline', problem };
}

/** A browser keeps the answer from the page. */
export function hidden(where: string): Refused {
  const what = 'The store answers, but does not let pages of this address use it (CORS).';
  const repair = 'Its settings need the lines that are shown under “Settings of the store”.';
  return { kind: 'refused', why: 'address', problem: { what, where, repair } };
}

function apart(now: string, theirs: string | undefined): string {
  const minutes = Math.round((Date.parse(now) - Date.parse(theirs ?? '')) / 60_000);
  if (!Number.isFinite(minutes) || minutes === 0) return 'too far from that of the shelf';
  const amount = Math.abs(minutes);
  const said =
    amount < 120
      ? `${amount} min`
      : amount < 2880
        ? `${Math.round(amount / 60)} h`
        : `${Math.round(amount / 1440)} days`;
  return `${said} ${minutes > 0 ? 'ahead of' : 'behind'} that of the shelf`;
}

function waitOf(retryAfter: string | null | undefined, now: string): Pick<Refused, 'after'> {
  if (retryAfter === undefined || retryAfter === null || retryAfter === '') return {};
  const seconds = /^\d+$/.test(retryAfter) ? Number(retryAfter) : (Date.parse(retryAfter) - Date.parse(now)) / 1000;
  return seconds > 0 ? { after: seconds * 1000 } : {};
}
