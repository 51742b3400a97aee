import type { ItemResult, Source, StepResult } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import { markOfItem, type ExamRules, type PartState, type RequiredPart } from './rules.ts';

/** What the candidate called, in the order of time, and what came of the steps. */
export interface Examined {
  readonly callouts: readonly {
    readonly at: Ms;
    readonly cues: readonly string[];
    /** Ids of the items of the walk that it spoke of. */
    readonly items?: readonly string[];
    readonly taken: boolean;
    readonly heard?: string;
    /** It takes back what was called right before it, or may. */
    readonly against?: boolean;
  }[];
  /** By step id; `at` is the onset of its first needles, `against` what was said in it that speaks against what it was judged on. */
  readonly steps: Readonly<
    Record<string, { readonly result: StepResult; readonly at?: Ms; readonly against?: string } | undefined>
  >;
  /** The places of a walk, when the plan has some. */
  readonly places: readonly { readonly title: string; readonly items: readonly ItemResult[] }[];
  /** The limit profile. */
  readonly profile?: string;
  /** By part, what the examiner put down of its limit, the last word. */
  readonly limits?: Readonly<Record<string, { readonly stated: boolean; readonly at: Ms } | undefined>>;
  /** By part, what the examiner saw of it, the last word. */
  readonly marks?: Readonly<Record<string, { readonly state: PartState; readonly at: Ms } | undefined>>;
}

export interface SheetPart {
  readonly id: string;
  readonly title: string;
  /** As the examiner put it down, else as the tool has it. */
  readonly state: PartState;
  /** Where the examiner put it down: when, and what the tool has of it. */
  readonly putDown?: { readonly at: Ms; readonly heard: PartState };
  /** When it was first called. */
  readonly at?: Ms;
  /** Why it did not count. */
  readonly why?: string;
  /** "before Governor cut-out": it was called on the wrong side of this part. */
  readonly outOfOrder?: string;
  /** The limits that its step was held against; present where the examiner marks whether they were spoken. */
  readonly limits?: StepResult['limits'];
  /** Whether the candidate stated it, as the examiner put it down, and when; absent while that is open. */
  readonly stated?: { readonly stated: boolean; readonly at: Ms };
  readonly source: Source;
}

/** One thing to look at in the walk. */
interface SheetItem {
  readonly id: string;
  readonly title: string;
  /** As the examiner put it down, else as the tool has it. */
  readonly state: PartState;
  readonly putDown?: SheetPart['putDown'];
  readonly at?: Ms;
  readonly outOfOrder?: string;
}

export interface Sheet {
  readonly parts: readonly SheetPart[];
  /** Each place of the walk, with its items in the order of the plan. */
  readonly places: readonly { readonly title: string; readonly items: readonly SheetItem[] }[];
  /** Rules that fail the examination without a judgement, with the parts that broke them. */
  readonly fails: readonly { readonly words: string; readonly parts: readonly string[]; readonly source: Source }[];
}

/** The examiner's sheet of what a candidate said and did. Parts of steps that the plan does not have are omitted like any other. */
export function sheetOf(examined: Examined, { parts, fails, sources }: ExamRules): Sheet {
  const sourceOf = (id: string): Source => sources[id] ?? { document: id, sure: 'memory' };
  const called = parts.map((part) => ({ title: part.title, at: calledAt(part, examined) }));
  const wrong = outOfOrder(called);
  const sheet = parts.map((part, place): SheetPart => {
    const at = called[place]?.at;
    const heard = stateOf(part, at, examined);
    const mark = examined.marks?.[part.id];
    const state = mark?.state ?? heard;
    const step = part.step === undefined ? undefined : examined.steps[part.step]?.result;
    const stated = examined.limits?.[part.id];
    return {
      ...{ id: part.id, title: part.title, state, source: sourceOf(part.source) },
      ...(at === undefined ? {} : { at }),
      ...(mark === undefined ? {} : { putDown: { at: mark.at, heard } }),
      ...(mark !== undefined || state === 'done'
        ? {}
        : {
            why:
              deniedIn(part, examined) ??
              (step?.verdict === 'not judged' ? undefined : examined.steps[part.step ?? '']?.against) ??
              step?.reason ??
              (state === 'said' ? 'called where it had no place' : 'not called'),
          }),
      ...wrong[place],
      ...(part.limit === true ? { limits: step?.limits ?? [], ...(stated === undefined ? {} : { stated }) } : {}),
    };
  });
  const broken = fails.flatMap(({ on, parts: only, profiles, words, source }) => {
    if (profiles?.includes(examined.profile ?? '') === false) return [];
    const found = sheet.filter(
      ({ id, state, stated }) =>
        (on.includes(state) || (on.includes('limit not stated') && stated?.stated === false)) &&
        only?.includes(id) !== false,
    );
    return found.length === 0 ? [] : [{ words, parts: found.map(({ title }) => title), source: sourceOf(source) }];
  });
  return { parts: sheet, places: walkOf(examined), fails: broken };
}

/** The items of all places in one order: that of the plan's walk. */
function walkOf({ places, callouts, marks = {} }: Examined): Sheet['places'] {
  const first = new Map<string, Ms>();
  for (const { at, items = [] } of callouts) for (const id of items) first.set(id, Math.min(at, first.get(id) ?? at));
  const all = places.flatMap(({ items }) => items.map(({ id, title }) => ({ title, at: first.get(id) })));
  const wrong = outOfOrder(all);
  let place = -1;
  return places.map(({ title, items }) => ({
    title,
    items: items.map((item): SheetItem => {
      place += 1;
      const at = all[place]?.at;
      const isOpen = item.state === 'not judged';
      const heard = item.state === 'passed over' || item.state === 'skipped' ? 'omitted' : isOpen ? 'said' : 'done';
      const mark = marks[markOfItem(item.id)];
      return {
        ...{ id: item.id, title: item.title, state: mark?.state ?? heard },
        ...(mark === undefined ? {} : { putDown: { at: mark.at, heard } }),
        ...(at === undefined ? {} : { at }),
        ...wrong[place],
      };
    }),
  }));
}

function calledAt({ cues, step }: RequiredPart, { callouts, steps }: Examined): Ms | undefined {
  if (cues === undefined) return step === undefined ? undefined : steps[step]?.at;
  return callouts.find((callout) => callout.cues.some((cue) => cues.includes(cue)))?.at;
}

function stateOf(part: RequiredPart, at: Ms | undefined, examined: Examined): PartState {
  const { cues, step } = part;
  if (at === undefined) return 'omitted';
  if (deniedIn(part, examined) !== undefined) return 'said';
  const { callouts, steps } = examined;
  if (step !== undefined) return isJudged(steps[step]?.result) && steps[step]?.against === undefined ? 'done' : 'said';
  const taken = callouts.some((callout) => callout.taken && callout.cues.some((cue) => cues?.includes(cue) === true));
  return taken ? 'done' : 'said';
}

/**
 * Why what was called last of a part does not stand: it was denied later, or the very next words take it back. What the step of a part is
 * judged on has that in it already.
 */
function deniedIn({ cues = [], step }: RequiredPart, { callouts }: Examined): string | undefined {
  if (step !== undefined) return undefined;
  const last = callouts.findLastIndex((each) => each.taken && each.cues.some((cue) => cues.includes(cue)));
  if (last < 0) return undefined;
  const after = callouts.slice(last + 1);
  const denied = after.find((each) => each.cues.some((cue) => cues.some((own) => cue === `not-${own}`)));
  const found = denied ?? (after[0]?.against === true ? after[0] : undefined);
  return found === undefined ? undefined : `“${found.heard ?? ''}” was said after it`;
}

/** A limit that the profile does not set is no fault of the candidate's. */
function isJudged(result: StepResult | undefined): boolean {
  return result !== undefined && (result.verdict !== 'not judged' || result.noLimit === true);
}

interface Called {
  readonly title: string;
  readonly at: Ms | undefined;
}

/** Of each part, the part that it was called on the wrong side of; nothing of those in order and of those never called. */
function outOfOrder(called: readonly Called[]): readonly { readonly outOfOrder?: string }[] {
  const kept = inOrder(called);
  return called.map(({ at }, place) => {
    const words = at === undefined || kept.has(place) ? undefined : wrongSide(place, at, called, kept);
    return words === undefined ? {} : { outOfOrder: words };
  });
}

interface Run {
  readonly place: number;
  readonly length: number;
  /** How far its parts are from where they would be in time. */
  readonly moved: number;
  readonly before?: Run;
}

/**
 * The places of the longest run of parts that were called in their order: whatever is not in it was called out of order. Of runs as long,
 * the one whose parts have moved least, so that two parts that were swapped are named and not the one between them.
 */
function inOrder(called: readonly Called[]): ReadonlySet<number> {
  const moments = called.flatMap(({ at }, place) => (at === undefined ? [] : [{ at, place }]));
  const inTime = moments.toSorted((one, other) => one.at - other.at || one.place - other.place);
  const ranks = new Map(inTime.map(({ place }, rank) => [place, rank]));
  const runs: Run[] = [];
  for (const [index, { at, place }] of moments.entries()) {
    const own = Math.abs((ranks.get(place) ?? index) - index);
    let before: Run | undefined;
    for (const run of runs) {
      if ((called[run.place]?.at ?? 0) > at) continue;
      if (before === undefined || isBetter(run, before)) before = run;
    }
    runs.push({
      place,
      length: (before?.length ?? 0) + 1,
      moved: (before?.moved ?? 0) + own,
      ...(before === undefined ? {} : { before }),
    });
  }
  const best = runs.reduce<Run | undefined>(
    (one, run) => (one === undefined || isBetter(run, one) ? run : one),
    undefined,
  );
  const kept = new Set<number>();
  for (let run = best; run !== undefined; run = run.before) kept.add(run.place);
  return kept;
}

function isBetter(one: Run, other: Run): boolean {
  return one.length > other.length || (one.length === other.length && one.moved < other.moved);
}

/** Which part in order it was called on the wrong side of: the nearest one in time. */
function wrongSide(place: number, at: Ms, called: readonly Called[], kept: ReadonlySet<number>): string | undefined {
  const sides = called.flatMap(({ title, at: when }, other) => {
    if (when === undefined || !kept.has(other)) return [];
    if (other < place && when > at) return [{ words: `before ${title}`, far: when - at }];
    return other > place && when < at ? [{ words: `after ${title}`, far: at - when }] : [];
  });
  return sides.toSorted((one, other) => other.far - one.far)[0]?.words;
}
