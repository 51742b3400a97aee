import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import combination from '../../../src/check/plans/combination.json';
import fullCabCheck from '../../../src/check/plans/full-cab-check.json';
import morningCheck from '../../../src/check/plans/morning-check.json';
import type { Plan } from '../../../src/check/plan.ts';
import { readPlan } from '../../../src/check/read-plan.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import { readProfile } from '../../../src/judging/read-profile.ts';
import type { Outcome } from '../../../src/units/outcome.ts';
import { languageOf } from '../../../src/running/language.ts';
import { PlanChanges, draftOf, planOf, type PlanDraft } from '../../../src/ui/library/plan-draft.ts';
import { remarksOn } from '../../../src/ui/library/plan-order.ts';
import * as limits from '../../../src/ui/library/profile-draft.ts';
import { loadGrammar } from '../../support/grammar.ts';

const CUES = languageOf(loadGrammar()).cues;
const PLANS = [fullCabCheck, morningCheck, combination] as Plan[];
const [FULL, MORNING] = PLANS as [Plan, Plan, Plan];
const changes = new PlanChanges(CUES);

function must<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.problem.what);
  return outcome.value;
}

function why(outcome: Outcome<unknown>): string {
  return outcome.ok ? 'done' : outcome.problem.what;
}

function at(draft: PlanDraft, id: string): number {
  return draft.steps.findIndex(({ step }) => step.id === id);
}

describe('a draft of a plan', () => {
  const draft = draftOf(FULL, 'mine', 'Mine', []);

  it('is the plan itself before anything is changed', () => {
    expect(planOf(draftOf(FULL, FULL.id, FULL.title, PLANS))).toEqual(FULL);
  });

  it('offers the steps of the other plans, off, where they belong', () => {
    const morning = draftOf(MORNING, 'mine', 'Mine', [FULL]);
    const off = morning.steps.filter(({ on }) => !on).map(({ step }) => step.id);
    expect(off).toContain('spring-brake-activation');
    expect(at(morning, 'spring-brake-activation')).toBe(at(morning, 'low-air-warning') + 1);
    const added = must(changes.switchStep(morning, at(morning, 'spring-brake-activation'), true));
    expect(planOf(added).steps).toHaveLength(MORNING.steps.length + 1);
  });

  it('keeps the cut-out before the cut-in that is judged against it', () => {
    expect(why(changes.switchStep(draft, at(draft, 'governor-cut-out'), false))).toMatch(/distance from the cut-out/);
    expect(why(changes.move(draft, at(draft, 'governor-cut-in'), -1))).toMatch(/distance from the cut-out/);
    const without = must(changes.switchStep(draft, at(draft, 'governor-cut-in'), false));
    expect(why(changes.switchStep(without, at(without, 'governor-cut-out'), false))).toBe('done');
  });

  it('keeps the chocks in place until nothing releases the brakes any more', () => {
    let moved = draft;
    for (;;) {
      const index = at(moved, 'applied-leakage');
      const next = changes.move(moved, index, 1);
      if (!next.ok) {
        expect(next.problem.what).toMatch(/needs chocked wheels/);
        break;
      }
      moved = next.value;
    }
    expect(at(moved, 'applied-leakage')).toBe(at(moved, 'tug-test') - 1);
  });

  it('runs the clock only when it is started and stopped', () => {
    const without = must(changes.switchStep(draft, at(draft, 'approach'), false));
    expect(planOf(without).steps.some(({ stopsClock }) => stopsClock !== undefined)).toBe(false);
    expect(remarksOn(planOf(without))).toEqual([
      'No step asks for the chocks. Chock the wheels before the brakes are released.',
      'The whole-check clock does not run: no step starts it, or none after that stops it.',
    ]);
    expect(planOf(must(changes.switchStep(without, 0, true)))).toEqual({ ...FULL, id: 'mine', title: 'Mine' });
  });

  it('does not take what no hold, window, text or caution can be', () => {
    const [hold, build] = [at(draft, 'static-leakage'), at(draft, 'build-up')];
    for (const seconds of [0, -60, 4, 300, 59.5, Number.NaN])
      expect(changes.setHold(draft, hold, seconds).ok).toBe(false);
    for (const value of [100, 0, -1, 161, Number.NaN])
      expect(changes.setEnd(draft, build, 'from', value).ok).toBe(false);
    expect(changes.setText(draft, hold, 'brief', ' ').ok).toBe(false);
    expect(why(changes.setText(draft, hold, 'caution', ''))).toBe(
      'The caution of a step can be reworded, not taken away.',
    );
    const changed = must(changes.setEnd(draft, build, 'from', 80));
    expect(remarksOn(planOf(changed))).toEqual([
      'The texts of “Build-up at fast idle” do not name the pressures of its window: correct them.',
    ]);
  });

  it('is a valid plan after any changes', () => {
    const index = fc.nat({ max: 20 });
    const change = fc.oneof(
      fc.tuple(index, fc.constantFrom(-1 as const, 1 as const)).map(
        ([i, by]) =>
          (d: PlanDraft) =>
            changes.move(d, i, by),
      ),
      fc.tuple(index, fc.boolean()).map(
        ([i, on]) =>
          (d: PlanDraft) =>
            changes.switchStep(d, i, on),
      ),
      fc.tuple(index, fc.integer()).map(
        ([i, s]) =>
          (d: PlanDraft) =>
            changes.setHold(d, i, s),
      ),
      fc.tuple(index, fc.constantFrom('from' as const, 'to' as const), fc.double()).map(
        ([i, end, value]) =>
          (d: PlanDraft) =>
            changes.setEnd(d, i, end, value),
      ),
      fc.tuple(index, fc.constantFrom('title' as const, 'brief' as const, 'caution' as const), fc.string()).map(
        ([i, key, text]) =>
          (d: PlanDraft) =>
            changes.setText(d, i, key, text),
      ),
      fc.string().map((text) => (d: PlanDraft) => changes.retitle(d, text)),
    );
    fc.assert(
      fc.property(fc.constantFrom(...PLANS), fc.array(change, { maxLength: 60 }), (plan, all) => {
        let now = draftOf(plan, 'mine', 'Mine', PLANS);
        for (const each of all) {
          const next = each(now);
          if (next.ok) now = next.value;
        }
        expect(why(readPlan(planOf(now), 'mine', CUES))).toBe('done');
      }),
    );
  });
});

describe('a draft of limits', () => {
  const profile = BUILT_IN_PROFILES[0] as LimitProfile;
  const warning = { test: 'low-air-warning', at: 0 } as const;

  function limitOf(outcome: Outcome<LimitProfile>, place: limits.LimitPlace) {
    return must(outcome).tests.find(({ test }) => test === place.test)?.limits[place.at];
  }

  it('refuses a minimum above the maximum, a leak with a minimum, and a limit without an end', () => {
    expect(why(limits.setBound(profile, warning, 'min', 76))).toBe('The minimum 76 is above the maximum 75.');
    expect(why(limits.setBound(profile, { test: 'static-leakage', at: 0 }, 'min', 1))).toBe('A leak has no minimum.');
    expect(why(limits.setBound(profile, { test: 'static-leakage', at: 0 }, 'max', undefined))).toMatch(/neither/);
    expect(limits.setBound(profile, warning, 'min', Number.NaN).ok).toBe(false);
    expect(limits.setBound(profile, warning, 'min', -1).ok).toBe(false);
    expect(why(limits.setSource(profile, warning, 'document', ' '))).toBe('A limit needs a source.');
  });

  it('no longer names the old document for a changed value, but keeps the department’s own', () => {
    const fmvss = BUILT_IN_PROFILES.find(({ id }) => id === 'us-fmvss-121') as LimitProfile;
    const changed = limits.setBound(fmvss, warning, 'min', 58);
    expect(limitOf(changed, warning)?.source).toEqual(limits.OWN_SOURCE);
    const named = limits.setSource(must(changed), warning, 'section', 'Tamarack Flats SOP 12');
    const again = limits.setBound(must(named), warning, 'min', 59);
    expect(limitOf(again, warning)).toMatchObject({
      min: 59,
      source: { document: limits.OWN_SOURCE.document, section: 'Tamarack Flats SOP 12' },
    });
  });

  it('no longer names the old document where the hold, the span or the engine speed is another', () => {
    const build = { test: 'build-up', at: 0 } as const;
    const leak = { test: 'static-leakage', at: 0 } as const;
    expect(limitOf(limits.setHoldSeconds(profile, 'static-leakage', 90), leak)?.source).toEqual(limits.OWN_SOURCE);
    expect(limitOf(limits.setSpanEnd(profile, 'build-up', 'from', 80), build)?.source).toEqual(limits.OWN_SOURCE);
    const slow = limits.setEngineSpeed(profile, 'build-up', 'idle');
    expect(limitOf(slow, build)?.source).toEqual(limits.OWN_SOURCE);
    const speedOf = (read: LimitProfile) => read.tests.find(({ test }) => test === 'build-up')?.engineSpeed;
    expect(speedOf(must(slow))).toBe('idle');
    expect(speedOf(must(limits.setEngineSpeed(must(slow), 'build-up', undefined)))).toBeUndefined();
    expect(why(limits.setEngineSpeed(profile, 'static-leakage', 'idle'))).toMatch(/engineSpeed does not belong/);
  });

  it('takes a limit for a figure that had none, with what its test needs besides', () => {
    const empty = { ...profile, tests: [] };
    for (const { test, figure } of limits.openFigures(empty)) {
      const added = limits.addLimit(empty, { test, figure, bound: 'max', value: 3, unit: 'psi' });
      expect(why(readProfile(must(added), test))).toBe('done');
      expect(limits.openFigures(must(added))).not.toContainEqual({ test, figure });
    }
  });

  it('is a valid profile after any changes', () => {
    const place = fc.record({
      test: fc.constantFrom(...profile.tests.map(({ test }) => test)),
      at: fc.nat({ max: 1 }),
    });
    const value = fc.oneof(fc.double(), fc.integer({ min: 0, max: 150 }));
    type Change = (p: LimitProfile) => Outcome<LimitProfile>;
    const change: fc.Arbitrary<Change> = fc.oneof(
      fc
        .tuple(place, fc.constantFrom('min' as const, 'max' as const, 'maxTimesCapacity' as const), fc.option(value))
        .map(
          ([l, b, v]): Change =>
            (p) =>
              limits.setBound(p, l, b, v ?? undefined),
        ),
      fc.tuple(place, fc.boolean()).map(
        ([l, s]): Change =>
          (p) =>
            limits.setStrict(p, l, s),
      ),
      fc.tuple(place, fc.string()).map(
        ([l, t]): Change =>
          (p) =>
            limits.setCondition(p, l, t),
      ),
      fc.tuple(place, fc.string()).map(
        ([l, t]): Change =>
          (p) =>
            limits.setSource(p, l, 'document', t),
      ),
      place.map(
        (l): Change =>
          (p) =>
            limits.removeLimit(p, l),
      ),
      fc.tuple(place, value).map(
        ([{ test }, v]): Change =>
          (p) =>
            limits.setHoldSeconds(p, test, v),
      ),
      fc.tuple(place, value).map(
        ([{ test }, v]): Change =>
          (p) =>
            limits.setSpanEnd(p, test, 'from', v),
      ),
      fc.string().map(
        (t): Change =>
          (p) =>
            limits.setProfileText(p, 'title', t),
      ),
    );
    fc.assert(
      fc.property(fc.constantFrom(...BUILT_IN_PROFILES), fc.array(change, { maxLength: 40 }), (first, all) => {
        let now = first;
        for (const each of all) {
          const next = each(now);
          if (next.ok) now = next.value;
        }
        expect(why(readProfile(JSON.parse(JSON.stringify(now)), 'mine'))).toBe('done');
      }),
    );
  });
});
