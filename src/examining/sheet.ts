import type { ItemResult, Source, StepResult } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { ExamRules, PartState, RequiredPart } from './rules.ts';

/** What the candidate called, in the order of time, and what came of the steps. */
export interface Examined {
  readonly callouts: readonly { readonly at: Ms; readonly cues: readonly string[]; readonly taken: boolean }[];
  /** By step id; `at` is the onset of its first needles. */
  readonly steps: Readonly<Record<string, { readonly result: StepResult; readonly at?: Ms } | undefined>>;
  /** The places of a walk, when the plan has some. */
  readonly places: readonly { readonly title: string; readonly items: readonly ItemResult[] }[];
}

export interface SheetPart {
  readonly id: string;
  readonly title: string;
  readonly state: PartState;
  /** When it was first called. */
  readonly at?: Ms;
  /** Why it did not count. */
  readonly why?: string;
  /** "before Governor cut-out": it was called on the wrong side of this part. */
  readonly outOfOrder?: string;
  /** The limits that its step was held against; present where the examiner marks whether they were spoken. */
  readonly limits?: StepResult['limits'];
  readonly source: Source;
}

export interface Sheet {
  readonly parts: readonly SheetPart[];
  /** Each place of the walk: how many of its items were said, and which were not. */
  readonly places: readonly { readonly title: string; readonly said: number; readonly omitted: readonly string[] }[];
  /** Rules that fail the examination without a judgement, with the parts that broke them. */
  readonly fails: readonly { readonly words: string; readonly parts: readonly string[]; readonly source: Source }[];
}

/** The examiner's sheet of what a candidate said and did. Parts of steps that the plan does not have are omitted like any other. */
export function sheetOf(examined: Examined, { parts, fails, sources }: ExamRules): Sheet {
  const sourceOf = (id: string): Source => sources[id] ?? { document: id, sure: 'memory' };
  const called = parts.map((part) => ({ part, at: calledAt(part, examined) }));
  const kept = inOrder(called.flatMap(({ at }, place) => (at === undefined ? [] : [{ at, place }])));
  const sheet = called.map(({ part, at }, place): SheetPart => {
    const state = stateOf(part, at, examined);
    const step = part.step === undefined ? undefined : examined.steps[part.step]?.result;
    const wrong = at === undefined || kept.has(place) ? undefined : wrongSide(place, at, called, kept);
    return {
      ...{ id: part.id, title: part.title, state, source: sourceOf(part.source) },
      ...(at === undefined ? {} : { at }),
      ...(state === 'done'
        ? {}
        : { why: step?.reason ?? (state === 'said' ? 'called where it had no place' : 'not called') }),
      ...(wrong === undefined ? {} : { outOfOrder: wrong }),
      ...(part.limit === true ? { limits: step?.limits ?? [] } : {}),
    };
  });
  const broken = fails.flatMap(({ on, parts: only, words, source }) => {
    const found = sheet.filter(({ id, state }) => on.includes(state) && only?.includes(id) !== false);
    return found.length === 0 ? [] : [{ words, parts: found.map(({ title }) => title), source: sourceOf(source) }];
  });
  const places = examined.places.map(({ title, items }) => {
    const omitted = items.filter(({ state }) => state === 'passed over' || state === 'skipped');
    return { title, said: items.length - omitted.length, omitted: omitted.map((item) => item.title) };
  });
  return { parts: sheet, places, fails: broken };
}

function calledAt({ cues, step }: RequiredPart, { callouts, steps }: Examined): Ms | undefined {
  if (cues === undefined) return step === undefined ? undefined : steps[step]?.at;
  return callouts.find((callout) => callout.cues.some((cue) => cues.includes(cue)))?.at;
}

function stateOf({ cues, step }: RequiredPart, at: Ms | undefined, { callouts, steps }: Examined): PartState {
  if (at === undefined) return 'omitted';
  if (step !== undefined) return isJudged(steps[step]?.result) ? 'done' : 'said';
  const taken = callouts.some((callout) => callout.taken && callout.cues.some((cue) => cues?.includes(cue) === true));
  return taken ? 'done' : 'said';
}

/** A limit that the profile does not set is no fault of the candidate's. */
function isJudged(result: StepResult | undefined): boolean {
  return result !== undefined && (result.verdict !== 'not judged' || result.noLimit === true);
}

interface Moment {
  readonly at: Ms;
  /** Its place among the required parts. */
  readonly place: number;
}

/** The places of the longest run of parts that were called in their order: whatever is not in it was called out of order. */
function inOrder(moments: readonly Moment[]): ReadonlySet<number> {
  let best: readonly Moment[] = [];
  const runs: (readonly Moment[])[] = [];
  for (const moment of moments) {
    const before = runs.filter((run) => (run.at(-1)?.at ?? 0) <= moment.at);
    const longest = before.reduce<readonly Moment[]>((one, other) => (other.length > one.length ? other : one), []);
    const run = [...longest, moment];
    runs.push(run);
    if (run.length > best.length) best = run;
  }
  return new Set(best.map(({ place }) => place));
}

/** Which part in order it was called on the wrong side of: the nearest one in time. */
function wrongSide(
  place: number,
  at: Ms,
  called: readonly { readonly part: RequiredPart; readonly at: Ms | undefined }[],
  kept: ReadonlySet<number>,
): string | undefined {
  const sides = called.flatMap(({ part, at: when }, other) => {
    if (when === undefined || !kept.has(other)) return [];
    if (other < place && when > at) return [{ words: `before ${part.title}`, far: when - at }];
    return other > place && when < at ? [{ words: `after ${part.title}`, far: at - when }] : [];
  });
  return sides.sort((one, other) => other.far - one.far)[0]?.words;
}
