import { describe, expect, it } from 'vitest';
import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import { placesOf } from '../../../src/check/places.ts';
import type { CheckState } from '../../../src/check/state.ts';
import { AIR_BRAKE_EXAM, type RequiredPart } from '../../../src/examining/rules.ts';
import { sheetOf, type Examined } from '../../../src/examining/sheet.ts';
import { examinedOf } from '../../../src/examining/examined-of.ts';
import { sheetHtml } from '../../../src/examining/sheet-html.ts';
import type { Item } from '../../../src/items/item.ts';
import type { StepResult } from '../../../src/judging/result.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { ENGINE_31 } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { beginRun, endRun, passTime, take } from '../../../src/running/check-run.ts';
import { languageOf } from '../../../src/running/language.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { sayScenario } from '../../support/operator.ts';

const PARTS = AIR_BRAKE_EXAM.parts;
const PASS: StepResult = { verdict: 'pass', reason: 'inside', figures: {}, limits: [] };
const LEFT: StepResult = { verdict: 'not judged', reason: 'not finished', figures: {}, limits: [] };

/** A candidate who calls these parts in this order, a minute apart. */
function candidate(order: readonly RequiredPart[]): Examined {
  const at = (part: RequiredPart): number => order.indexOf(part) * 60_000;
  return {
    callouts: order.flatMap((part) =>
      part.cues === undefined ? [] : [{ at: at(part), cues: part.cues.slice(0, 1), taken: true }],
    ),
    steps: Object.fromEntries(
      PARTS.flatMap((part) =>
        part.step === undefined
          ? []
          : [[part.step, order.includes(part) ? { result: PASS, at: at(part) } : { result: LEFT }]],
      ),
    ),
    places: [],
  };
}
const sheet = (order: readonly RequiredPart[]) => sheetOf(candidate(order), AIR_BRAKE_EXAM);

/** Of neighbours that were swapped one is out of order, and is said to be on the wrong side of the other. */
function namedBy(parts: readonly { readonly title: string; readonly outOfOrder?: string }[]): Set<string> {
  const wrong = parts.filter(({ outOfOrder }) => outOfOrder !== undefined);
  const [only] = wrong;
  const beside = wrong.length === 1 ? [only!.outOfOrder!.replace(/^(before|after) /, '')] : [];
  return new Set([...wrong.map(({ title }) => title), ...beside]);
}

describe('the examiner’s sheet', () => {
  it('has nothing against a candidate who does all parts in order', () => {
    const { parts, fails } = sheet(PARTS);
    expect(parts.map(({ state }) => state)).toEqual(PARTS.map(() => 'done'));
    expect(parts.filter(({ outOfOrder }) => outOfOrder !== undefined)).toEqual([]);
    expect(fails).toEqual([]);
  });

  it.each(PARTS.map((part) => [part.title, part] as const))('names exactly the one omission: %s', (title, part) => {
    const { parts, fails } = sheet(PARTS.filter((each) => each !== part));
    expect(parts.filter(({ state }) => state !== 'done')).toMatchObject([{ id: part.id, state: 'omitted' }]);
    expect(parts.filter(({ outOfOrder }) => outOfOrder !== undefined)).toEqual([]);
    expect(fails[0]).toMatchObject({ parts: [title], source: AIR_BRAKE_EXAM.sources['manual'] });
    expect(fails.some(({ words }) => words.includes('parking brake'))).toBe(part.id === 'parking-brake');
  });

  it('names exactly the two parts of each single swap, and omits none', () => {
    for (const [one, first] of PARTS.entries())
      for (const second of PARTS.slice(one + 1)) {
        const order = PARTS.map((part) => (part === first ? second : part === second ? first : part));
        const { parts } = sheet(order);
        expect(parts.every(({ state }) => state === 'done')).toBe(true);
        expect(namedBy(parts)).toEqual(new Set([first.title, second.title]));
      }
  });

  it('tells what was said and did not count from what was not said', () => {
    const all = candidate(PARTS);
    const held = { ...all, steps: { ...all.steps, 'static-leakage': { result: LEFT, at: 1 } } };
    const part = sheetOf(held, AIR_BRAKE_EXAM).parts.find(({ id }) => id === 'static-leakage');
    expect(part).toMatchObject({ state: 'said', why: 'not finished' });
    const stray = {
      ...all,
      callouts: all.callouts.map((each) => ({ ...each, taken: !each.cues.includes('engine-off') })),
    };
    expect(sheetOf(stray, AIR_BRAKE_EXAM).parts.find(({ id }) => id === 'engine-off')).toMatchObject({ state: 'said' });
  });
});

describe('the sheet of a whole check', () => {
  const language = languageOf(loadGrammar());
  const plan = builtInPlans(language.cues)[0]!;
  const script = sayScenario(ENGINE_31);

  /** The demo operator's check without the callouts that have one of these cues in them. */
  function examined(without: readonly string[] = []): CheckState {
    let run = beginRun({
      type: 'start',
      at: 0,
      wall: '2026-05-04T07:30:00.000Z',
      plan,
      profile: BUILT_IN_PROFILES[0]!,
      rig: { id: 'engine-31', name: 'Engine <31>', unit: 'psi' },
      operator: 'P. Serrano',
      asking: 'assume',
    });
    for (const { at: start, end, text } of script) {
      const cues = language.parse([], text, 'psi')?.cues ?? [];
      if (cues.some((cue) => without.includes(cue))) continue;
      run = take(passTime(run, start), { start, end, text, confidence: 1, source: 'transcript' }, language);
    }
    return endRun(run, (script.at(-1)?.end ?? 0) + 1000).state;
  }

  it('has every part of the demo operator done, in order, on a page that shows what was called as text', () => {
    const state = examined();
    const { parts, fails } = sheetOf(examinedOf(state), AIR_BRAKE_EXAM);
    expect(parts.filter((part) => part.state !== 'done' || part.outOfOrder !== undefined)).toEqual([]);
    expect(fails).toEqual([]);
    expect(sheetHtml(state, AIR_BRAKE_EXAM, { remarks: ['Capt. R. Whitehorse: <b>calm</b>'] })).not.toMatch(
      /<31>|<b>calm/,
    );
  });

  it.each(PARTS.filter(({ cues }) => cues !== undefined).map((part) => [part.id, part] as const))(
    'names the omission of %s, and fails by rule',
    (id, part) => {
      const { parts, fails } = sheetOf(examinedOf(examined(part.cues)), AIR_BRAKE_EXAM);
      expect(parts.filter(({ state }) => state === 'omitted').map((each) => each.id)).toContain(id);
      expect(fails[0]?.parts).toContain(part.title);
    },
  );
});

describe('the sheet of a walk', () => {
  const language = languageOf(loadGrammar());
  const plan = builtInPlans(language.cues).find(({ id }) => id === 'whole-pre-trip')!;
  const places = placesOf(plan);
  const all = places.flatMap(({ items }) => items);

  const examined = candidate([]);
  const placesBut = (left?: Item) =>
    places.map(({ title, items }) => ({
      title,
      items: items.map((item) => ({
        id: item.id,
        title: item.title,
        state: item === left ? ('passed over' as const) : ('good' as const),
      })),
    }));
  const whole = placesBut();

  /** A candidate who calls these items in this order, 5 s apart, each good. */
  function walk(order: readonly Item[], left?: Item) {
    const callouts = order.map(({ id }, index) => ({ at: index * 5000, cues: [], items: [id], taken: true }));
    const said = { ...examined, callouts, places: left === undefined ? whole : placesBut(left) };
    return sheetOf(said, AIR_BRAKE_EXAM).places.flatMap(({ items }) => items);
  }

  it('names exactly each single item that was omitted, as said through the whole check', () => {
    for (const left of all) {
      const items = walk(
        all.filter((item) => item !== left),
        left,
      );
      expect(items.filter(({ state }) => state !== 'done').map(({ title }) => title)).toEqual([left.title]);
      expect(items.filter(({ outOfOrder }) => outOfOrder !== undefined)).toEqual([]);
    }
  });

  // Of all pairs of the walk it holds as well; here are those that lie near each other, and the first with each other one.
  it('names exactly the two items of each single swap', () => {
    for (const [one, first] of all.entries())
      for (const second of one === 0 ? all.slice(1) : all.slice(one + 1, one + 4)) {
        const items = walk(all.map((item) => (item === first ? second : item === second ? first : item)));
        expect(namedBy(items)).toEqual(new Set([first.title, second.title]));
      }
  });

  it('has what was called of it from the check: omitted, put off, out of its order, and the moment', () => {
    let run = beginRun({
      type: 'start',
      at: 0,
      wall: '2026-05-04T07:30:00.000Z',
      plan: builtInPlans(language.cues).find(({ id }) => id === 'cab')!,
      profile: BUILT_IN_PROFILES.find(({ id }) => id === 'california-cdl')!,
      rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
      operator: 'P. Serrano',
      asking: 'assume',
      settings: { examination: true },
    });
    const own = language.of(run.state.start.plan);
    for (const [index, text] of ['seat secure', 'horn works', 'seat belts latched', 'wipers torn', 'next'].entries())
      run = take(
        run,
        { start: index * 5000, end: index * 5000 + 1000, text, confidence: 1, source: 'transcript' },
        own,
      );
    const examiner = [
      { type: 'examiner', at: 7000, text: 'did not <i>point</i>' },
      { type: 'examiner', at: 8000, limit: { part: 'cut-out', stated: false } },
      // Without a microphone the sheet is the examiner's own; what the tool has of a part stands beside it.
      { type: 'examiner', at: 9000, mark: { part: 'chocks', state: 'done' } },
      { type: 'examiner', at: 9500, mark: { part: 'cut-in', state: 'done' } },
      { type: 'examiner', at: 9900, mark: { part: 'cut-in', state: 'as heard' } },
      { type: 'examiner', at: 11_000, mark: { part: 'item:radio', state: 'done' } },
      { type: 'examiner', at: 12_000, mark: { part: 'item:seat', state: 'omitted' } },
      { type: 'examiner', at: 12_500, mark: { part: 'item:horn', state: 'omitted' } },
      { type: 'examiner', at: 13_000, mark: { part: 'item:horn', state: 'as heard' } },
    ] as const;
    const sheet = sheetOf(examinedOf(run.state, examiner), AIR_BRAKE_EXAM);
    const items = Object.fromEntries(sheet.places[0]!.items.map((item) => [item.id, item]));
    expect(items['wipers']).toMatchObject({ state: 'done', at: 15_000 });
    expect(items['radio']).toMatchObject({ state: 'done', putDown: { at: 11_000, heard: 'omitted' } });
    expect(items['seat']).toMatchObject({ state: 'omitted', putDown: { at: 12_000, heard: 'done' } });
    expect(items['horn']).toMatchObject({ state: 'done' });
    expect(items['horn']?.putDown).toBeUndefined();
    expect(items['horn']?.outOfOrder).toMatch(/^before /);
    // California wants the limits spoken; elsewhere that is for the examiner to weigh.
    expect(sheet.fails.map(({ words }) => words)).toContain('A limit was not stated');
    expect(sheet.places).toHaveLength(1);
    const parts = Object.fromEntries(sheet.parts.map((part) => [part.id, part]));
    expect(parts['chocks']).toMatchObject({ state: 'done', putDown: { at: 9000, heard: 'omitted' } });
    expect(parts['cut-in']).toMatchObject({ state: 'omitted', why: 'not called' });
    expect(sheet.fails.flatMap((fail) => fail.parts)).not.toContain('Chocks set');
    const elsewhere = { ...examinedOf(run.state, examiner), profile: 'fire-practice' };
    expect(sheetOf(elsewhere, AIR_BRAKE_EXAM).fails.map(({ words }) => words)).not.toContain('A limit was not stated');
    const page = sheetHtml(run.state, AIR_BRAKE_EXAM, {
      examiner,
      signed: [{ as: 'candidate', name: 'P. Serrano', wall: '2026-05-04T07:50:00.000Z' }],
    });
    expect(page).toContain('0:07 did not &#60;i&#62;point');
    expect(page).toMatch(/✗ omitted: [^;]*eat[^;]*, put down by the examiner at 0:12; as heard: done/);
    expect(page).toContain('✗ not stated (put down at 0:08)');
    expect(page).toContain('put down by the examiner at 0:09; as heard: omitted');
    expect(page).toMatch(/Signed on the device as candidate:\s+<b>P. Serrano<\/b>/);
  });
});
