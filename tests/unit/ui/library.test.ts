import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import fullCabCheck from '../../../src/check/plans/full-cab-check.json';
import morningCheck from '../../../src/check/plans/morning-check.json';
import type { Plan } from '../../../src/check/plan.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { problemLine, type Outcome } from '../../../src/units/outcome.ts';
import { Library } from '../../../src/ui/library/library.ts';
import { copyId, fileText } from '../../../src/ui/library/shelf.ts';
import { smallStore } from '../../../src/running/settings.ts';
import { languageOf } from '../../../src/running/language.ts';
import { loadGrammar } from '../../support/grammar.ts';

const CUES = languageOf(loadGrammar()).cues;
const BUILT_IN = [fullCabCheck, morningCheck] as Plan[];
const OWN = { ...morningCheck, id: 'tamarack-morning', title: 'Tamarack Flats morning' };
const LIMITS = { ...BUILT_IN_PROFILES[0], id: 'tamarack-limits', title: 'Tamarack Flats limits' };

function storage(): Storage {
  const texts = new Map<string, string>();
  const fake: Pick<Storage, 'getItem' | 'setItem'> = {
    getItem: (name) => texts.get(name) ?? null,
    setItem: (name, text) => void texts.set(name, text),
  };
  return fake as Storage;
}

/** Opens the library as after a reload of the page: a new store over the same storage. */
function open(kept: Storage): Library {
  return new Library(
    smallStore(() => kept),
    BUILT_IN,
    BUILT_IN_PROFILES,
    CUES,
  );
}

function lineOf(outcome: Outcome<unknown>): string {
  return outcome.ok ? 'taken in' : problemLine(outcome.problem);
}

describe('the own plans and limits of a device', () => {
  it('are there again after a reload, behind the built-in ones', () => {
    const kept = storage();
    const library = open(kept);
    expect(library.importText(JSON.stringify(OWN), 'morning.json', 'plans').ok).toBe(true);
    expect(library.importText(JSON.stringify(LIMITS), 'limits.json', 'profiles').ok).toBe(true);
    const again = open(kept);
    expect(again.plans.all.map(({ id }) => id)).toEqual(['full-cab-check', 'morning-check', 'tamarack-morning']);
    expect(again.profiles.own).toEqual([LIMITS]);
  });

  it('are replaced by one with the same id, and gone once removed', () => {
    const kept = storage();
    const library = open(kept);
    library.importText(JSON.stringify(OWN), 'a.json');
    const second = library.importText(JSON.stringify({ ...OWN, title: 'Second edition' }), 'b.json');
    expect(second).toMatchObject({ ok: true, value: { shelf: 'plans', replaced: true } });
    expect(open(kept).plans.own.map(({ title }) => title)).toEqual(['Second edition']);
    library.remove('plans', OWN.id);
    expect(open(kept).plans.own).toEqual([]);
  });

  it('never take the place of a built-in one', () => {
    const library = open(storage());
    const read = library.importText(JSON.stringify({ ...OWN, id: 'morning-check' }), 'mine.json', 'plans');
    expect(lineOf(read)).toBe(
      'mine.json, id: “morning-check” is the id of the built-in plan “Morning check”, which is never replaced. Give it an id of its own.',
    );
    expect(library.plans.own).toEqual([]);
  });

  it('are refused with file, JSON path and reason', () => {
    const library = open(storage());
    const wrongStep = {
      ...OWN,
      steps: OWN.steps.map((step) => ({ ...step, ...(step.kind === 'hold' ? { holdSeconds: -1 } : {}) })),
    };
    expect(lineOf(library.importText(JSON.stringify(wrongStep), 'mine.json', 'plans'))).toBe(
      'mine.json, steps[2].holdSeconds: steps[2].holdSeconds is below 30. Correct it.',
    );
    expect(lineOf(library.importText('{"format":', 'cut.json', 'plans'))).toMatch(
      /^cut\.json: This is not a JSON file\./,
    );
    expect(lineOf(library.importText('{"format":"letter"}', 'letter.json'))).toMatch(/^letter\.json, format: /);
    expect(lineOf(library.importText(JSON.stringify(OWN), 'plan.json', 'profiles'))).toMatch(/^plan\.json, format: /);
  });

  it('are listed with the reason when what is stored is no longer valid, and can be removed', () => {
    const kept = storage();
    const old = { ...OWN, id: 'old', title: 'Old plan', version: 0 };
    kept.setItem('two-needles.plans', JSON.stringify([old, OWN, 17, { ...OWN, id: 'full-cab-check' }, OWN]));
    const library = open(kept);
    expect(library.plans.own.map(({ id }) => id)).toEqual([OWN.id]);
    expect(library.plans.unusable.map(({ at, name }) => [at, name])).toEqual([
      [0, 'Old plan'],
      [2, 'plan 3'],
      [3, OWN.title],
      [4, OWN.title],
    ]);
    expect(library.plans.unusable[0]?.reason).toBe(
      'Old plan, version: Plans of version 0 cannot be read here. Use version 1.',
    );
    // Taking one in does not throw away what cannot be used.
    library.importText(JSON.stringify({ ...OWN, id: 'another' }), 'another.json');
    expect(open(kept).plans.unusable).toHaveLength(4);
    library.removeUnusable('plans', 0);
    expect(open(kept).plans.unusable.map(({ name }) => name)).toEqual(['plan 2', OWN.title, OWN.title]);
  });

  it('survive whatever is stored', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (stored) => {
        const kept = storage();
        kept.setItem('two-needles.plans', JSON.stringify(stored));
        kept.setItem('two-needles.profiles', JSON.stringify(stored));
        const library = open(kept);
        expect(library.plans.all.slice(0, 2)).toEqual(BUILT_IN);
        const entries = Array.isArray(stored) ? stored.length : 0;
        expect(library.plans.own.length + library.plans.unusable.length).toBe(entries);
      }),
    );
  });

  it('come back from an exported file as they were', () => {
    const library = open(storage());
    library.importText(JSON.stringify(OWN), 'a.json');
    const [own] = library.plans.own;
    if (own === undefined) throw new Error('not taken in');
    const other = open(storage());
    other.importText(`\uFEFF${fileText(own)}`, 'exported.json');
    expect(other.plans.own).toEqual([OWN]);
  });

  it('get an id of their own when copied', () => {
    const taken = ['morning-check', 'morning-check-copy'].map((id) => ({ id, title: id }));
    expect(copyId('morning-check', taken)).toBe('morning-check-copy-2');
    expect(copyId('morning-check-copy', taken)).toBe('morning-check-copy-2');
    expect(copyId('full-cab-check', taken)).toBe('full-cab-check-copy');
  });
});
