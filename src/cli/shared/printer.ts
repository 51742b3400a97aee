/** Where a command prints; each call is one line or block, without its last line end. */
export interface Printer {
  out(text: string): void;
  err(text: string): void;
}

/** Characters that would steer a terminal, or show text in another order than it is written. */
const STEERING = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu;

/** Text from a file as it may be printed: what would steer the terminal is escaped as JSON escapes it. */
export function printable(text: string): string {
  return text.replace(STEERING, (sign) =>
    Array.from({ length: sign.length }, (_, at) => `\\u${sign.charCodeAt(at).toString(16).padStart(4, '0')}`).join(''),
  );
}

/** As `printable`, for text of several lines that the program itself has broken. */
export function printableLines(text: string): string {
  return text.split('\n').map(printable).join('\n');
}

/** A value whose every text is printable: for tables, where a line end in a name would begin a line of its own. */
export function printableValue<T>(value: T): T {
  if (typeof value === 'string') return printable(value) as T;
  if (Array.isArray(value)) return value.map((each: unknown) => printableValue(each)) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, printableValue<unknown>(each)])) as T;
}
