import { FIGURES_OF_TEST } from '../../judging/profile.ts';
import type { Limit, LimitFigure, LimitProfile, TestLimits } from '../../judging/profile.ts';
import type { EngineSpeed, TestId } from '../../judging/measurement.ts';
import { readProfile } from '../../judging/read-profile.ts';
import type { Source } from '../../judging/result.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';

/** The document of a limit that a department sets by itself; its name is filled in behind it. */
export const OWN_SOURCE: Source = { document: 'Department’s own limit', sure: 'memory' };

export type Bound = 'min' | 'max' | 'maxTimesCapacity';
export type ProfileText = 'title' | 'jurisdiction' | 'edition' | 'applicability';

/** Which limit: its test, and its place among the limits of that test. */
export interface LimitPlace {
  readonly test: TestId;
  readonly at: number;
}

/** A limit to be added. */
export interface NewLimit {
  readonly test: TestId;
  readonly figure: LimitFigure;
  readonly bound: 'min' | 'max';
  readonly value: number;
  readonly unit: PressureUnit;
}

/** Changes of a profile. Each is refused, with the reason, when what it gives would be no valid profile. */
export function setProfileText(profile: LimitProfile, key: ProfileText, text: string): Outcome<LimitProfile> {
  return text.trim() === '' ? bad('This cannot be empty.') : checked({ ...profile, [key]: text.trim() });
}

/**
 * One end of a limit; without a value the end is taken away. A changed value no longer comes from the document that
 * the old one came from, so its source becomes the department's own.
 */
export function setBound(
  profile: LimitProfile,
  place: LimitPlace,
  bound: Bound,
  value: number | undefined,
): Outcome<LimitProfile> {
  if (value !== undefined && !(value >= 0)) return bad('Give a number that is not below 0.');
  return changeLimit(profile, place, (limit) =>
    owned({ ...without(limit, bound), ...(value === undefined ? {} : { [bound]: value }) }),
  );
}

/** Whether the value itself fails. */
export function setStrict(profile: LimitProfile, place: LimitPlace, strict: boolean): Outcome<LimitProfile> {
  return changeLimit(profile, place, (limit) => owned({ ...limit, strict }));
}

export function setCondition(profile: LimitProfile, place: LimitPlace, text: string): Outcome<LimitProfile> {
  return changeLimit(profile, place, (limit) =>
    text.trim() === '' ? without(limit, 'condition') : { ...limit, condition: text.trim() },
  );
}

export function setSource(
  profile: LimitProfile,
  place: LimitPlace,
  key: 'document' | 'section',
  text: string,
): Outcome<LimitProfile> {
  const words = text.trim();
  if (key === 'document' && words === '') return bad('A limit needs a source.');
  return changeLimit(profile, place, ({ source: { section, ...source }, ...limit }) => {
    const kept = section === undefined ? {} : { section };
    const changed = words === '' ? {} : { section: words };
    return {
      ...limit,
      source: key === 'section' ? { ...source, ...changed } : { ...source, ...kept, document: words },
    };
  });
}

export function setSure(profile: LimitProfile, place: LimitPlace, sure: Source['sure']): Outcome<LimitProfile> {
  return changeLimit(profile, place, (limit) => ({ ...limit, source: { ...limit.source, sure } }));
}

/** The shortest hold of a leakage test that can pass, in seconds. */
export function setHoldSeconds(profile: LimitProfile, test: TestId, seconds: number): Outcome<LimitProfile> {
  if (!(seconds > 0)) return bad('Give a number of seconds above 0.');
  return checked(changeTest(profile, test, (entry) => ownedTest({ ...entry, holdSeconds: seconds })));
}

/** An end of the span that a build-up time is for, in the unit that it has. */
export function setSpanEnd(
  profile: LimitProfile,
  test: TestId,
  end: 'from' | 'to',
  value: number,
): Outcome<LimitProfile> {
  if (!(value > 0)) return bad('Give a pressure above 0.');
  return checked(
    changeTest(profile, test, ({ span, ...entry }) => {
      const old = span?.[end];
      return span === undefined || old === undefined || !('value' in old)
        ? { ...entry, ...(span === undefined ? {} : { span }) }
        : ownedTest({ ...entry, span: { ...span, [end]: { value, unit: old.unit } } });
    }),
  );
}

/** The engine speed that a build-up time holds at; undefined: at any. */
export function setEngineSpeed(
  profile: LimitProfile,
  test: TestId,
  speed: EngineSpeed | undefined,
): Outcome<LimitProfile> {
  return checked(
    changeTest(profile, test, (entry) =>
      ownedTest({ ...without(entry, 'engineSpeed'), ...(speed === undefined ? {} : { engineSpeed: speed }) }),
    ),
  );
}

export function removeLimit(profile: LimitProfile, { test, at }: LimitPlace): Outcome<LimitProfile> {
  const { tests } = changeTest(profile, test, (entry) => ({
    ...entry,
    limits: entry.limits.filter((_, index) => index !== at),
  }));
  return checked({
    ...profile,
    tests: tests.filter((entry) => entry.limits.length > 0 || entry.belowWarning !== undefined),
  });
}

/** Figures that the profile sets no limit for yet, test by test. */
export function openFigures(profile: LimitProfile): readonly Pick<NewLimit, 'test' | 'figure'>[] {
  return Object.entries(FIGURES_OF_TEST).flatMap(([test, figures]) =>
    figures
      .filter((figure) => entryOf(profile, test as TestId)?.limits.some((limit) => limit.figure === figure) !== true)
      .map((figure) => ({ test: test as TestId, figure })),
  );
}

export function addLimit(profile: LimitProfile, { test, figure, bound, value, unit }: NewLimit): Outcome<LimitProfile> {
  if (!(value >= 0)) return bad('Give a number that is not below 0.');
  if (figure === 'rate' && bound === 'min') return bad('A leak has no least value. Choose “at most”.');
  const limit: Limit = { figure, [bound]: value, strict: false, unit: unitOf(figure, unit), source: OWN_SOURCE };
  if (entryOf(profile, test) !== undefined)
    return checked(changeTest(profile, test, (entry) => ({ ...entry, limits: [...entry.limits, limit] })));
  return checked({ ...profile, tests: [...profile.tests, { ...newEntry(test, unit), limits: [limit] }] });
}

function unitOf(figure: LimitFigure, unit: PressureUnit): Limit['unit'] {
  if (figure === 'buildUpTime') return 's';
  return figure === 'rate' ? `${unit}/min` : unit;
}

/** What a test's entry needs besides its limits: the usual hold, the usual span (49 CFR 571.121 S5.1.1: 85 to 100 psi). */
function newEntry(test: TestId, unit: PressureUnit): Omit<TestLimits, 'limits'> {
  if (test === 'static-leakage' || test === 'applied-leakage') return { test, holdSeconds: 60 };
  if (test !== 'build-up') return { test };
  const [from, to] = unit === 'psi' ? [85, 100] : [586, 690];
  return { test, span: { from: { value: from, unit }, to: { value: to, unit } } };
}

function owned(limit: Limit): Limit {
  const exact = without(limit, 'about');
  return limit.source.document === OWN_SOURCE.document ? exact : { ...exact, source: OWN_SOURCE };
}

/** Limits under another condition are not those of the document either. */
function ownedTest(entry: TestLimits): TestLimits {
  return { ...entry, limits: entry.limits.map(owned) };
}

function without<T extends object, Key extends keyof T>(item: T, key: Key): Omit<T, Key> {
  return Object.fromEntries(Object.entries(item).filter(([name]) => name !== key)) as Omit<T, Key>;
}

function entryOf(profile: LimitProfile, test: TestId): TestLimits | undefined {
  return profile.tests.find((entry) => entry.test === test);
}

function changeTest(profile: LimitProfile, test: TestId, change: (entry: TestLimits) => TestLimits): LimitProfile {
  return { ...profile, tests: profile.tests.map((entry) => (entry.test === test ? change(entry) : entry)) };
}

function changeLimit(
  profile: LimitProfile,
  { test, at }: LimitPlace,
  change: (limit: Limit) => Limit,
): Outcome<LimitProfile> {
  return checked(
    changeTest(profile, test, (entry) => ({
      ...entry,
      limits: entry.limits.map((limit, index) => (index === at ? change(limit) : limit)),
    })),
  );
}

function checked(profile: LimitProfile): Outcome<LimitProfile> {
  const read = readProfile(profile, 'limits');
  return read.ok ? good(profile) : bad(read.problem.what, undefined, read.problem.repair);
}
