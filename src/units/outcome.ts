/** What went wrong, for a person: what, where, and how to repair it. Bad input is a value of this, never a throw. */
export interface Problem {
  /** One plain sentence. */
  readonly what: string;
  /** File, line, column, or JSON path, when there is one. */
  readonly where?: string;
  /** What the reader can do about it. */
  readonly repair?: string;
}

export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

export function good<T>(value: T): Outcome<T> {
  return { ok: true, value };
}

export function bad(what: string, where?: string, repair?: string): { readonly ok: false; readonly problem: Problem } {
  return {
    ok: false,
    problem: { what, ...(where === undefined ? {} : { where }), ...(repair === undefined ? {} : { repair }) },
  };
}

/** A problem as one line: `where: what repair`. */
export function problemLine(problem: Problem): string {
  const place = problem.where === undefined ? '' : `${problem.where}: `;
  const advice = problem.repair === undefined ? '' : ` ${problem.repair}`;
  return `${place}${problem.what}${advice}`;
}
