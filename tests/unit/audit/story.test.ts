import { beforeAll, describe, expect, it } from 'vitest';
import planJson from '../../../src/check/plans/full-cab-check.json' with { type: 'json' };
import { defectsOf, isClosed } from '../../../src/audit/defects.ts';
import { rowsOf, type Row } from '../../../src/audit/row.ts';
import { trendsOf } from '../../../src/audit/trends.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { chainedStore } from '../../../src/record/chained-store.ts';
import type { ImportReport } from '../../../src/record/import.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { demoStory } from '../../../src/rehearsal/demo-story.ts';
import { loadStory, removeStory } from '../../../src/ui/logs/story-logs.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { APP, newSigner, WALL } from '../record/logs.ts';

const grammar = loadGrammar();
const PARTS = {
  plan: planJson as unknown as Plan,
  profile: BUILT_IN_PROFILES[0]!,
  lastDay: '2026-03-30',
  parse: (rules: readonly string[], text: string, unit: 'psi' | 'kPa') =>
    parse(grammar, rules, text, unit) ?? parse(grammar, ['anything'], text, unit),
};

describe('the twelve weeks of Tamarack Flats', () => {
  let rows: Row[];
  let report: ImportReport;
  const inner = memoryStore();
  beforeAll(async () => {
    const store = chainedStore(inner, await newSigner(), () => WALL, APP);
    report = await loadStory(store, PARTS);
    rows = rowsOf(await store.heads());
  }, 600_000);
  const ladder = (): Row[] =>
    rows.filter(({ rigId }) => rigId === 'ladder-36').sort((a, b) => a.date.localeCompare(b.date));

  it('are taken in whole, and every log verifies', async () => {
    expect(report.logs.filter(({ outcome }) => outcome !== 'added')).toEqual([]);
    expect(rows).toHaveLength(40);
    expect(rows.filter(({ trouble }) => trouble !== undefined)).toEqual([]);
    const store = chainedStore(inner, await newSigner(), () => WALL, APP);
    const log = await store.log('story-ladder-36-12');
    expect((await verifyLog(log!)).faults).toEqual([]);
  });

  it('fail twice: the buzzer of Tender 34, and the last check of Ladder 36', () => {
    const failed = rows.filter(({ verdict }) => verdict === 'fail').map(({ id }) => id);
    expect(failed.sort()).toEqual(['story-ladder-36-12', 'story-tender-34-05']);
    expect(rows.filter(({ verdict }) => verdict === 'incomplete')).toEqual([]);
    const steps = rows
      .filter(({ id }) => failed.includes(id))
      .flatMap((row) => row.steps.filter(({ verdict }) => verdict === 'fail'));
    expect(steps.map(({ id }) => id).sort()).toEqual(['applied-leakage', 'low-air-warning']);
  });

  it('name the drifting circuit of Ladder 36, and a date before the check that fails, four weeks ahead', () => {
    const checks = ladder();
    const failing = checks.at(-1)!;
    expect(failing.verdict).toBe('fail');
    const known = checks.filter(({ date }) => Date.parse(date) <= Date.parse(failing.date) - 28 * 86_400_000);
    const drifting = trendsOf(known, 'ladder-36').filter(({ lamp }) => lamp === 'soon' || lamp === 'beyond');
    expect(drifting.map(({ step, figure }) => [step, figure])).toEqual([['applied-leakage', 'secondaryRate']]);
    const [found] = drifting;
    if (found?.trend.kind !== 'trend') throw new Error('there is a trend');
    expect(found.trend.meets?.date.localeCompare(failing.date)).toBe(-1);
  });

  it('have no drift on the rigs that are well', () => {
    for (const rig of ['engine-31', 'tender-34'])
      expect(trendsOf(rows, rig).filter(({ lamp }) => lamp === 'soon' || lamp === 'beyond')).toEqual([]);
  });

  it('leave one defect open and one closed', () => {
    const defects = defectsOf(rows);
    expect(defects.map((defect) => [defect.rigId, defect.step, isClosed(defect)])).toEqual([
      ['ladder-36', 'applied-leakage', false],
      ['tender-34', 'low-air-warning', true],
    ]);
  });

  it('are the same whenever they are told', () => {
    expect([...demoStory(PARTS)]).toEqual([...demoStory(PARTS)]);
  }, 600_000);

  it('can be taken out again, and leave real checks alone', async () => {
    const other = memoryStore();
    const store = chainedStore(other, await newSigner(), () => WALL, APP);
    await loadStory(store, PARTS);
    const real = { ...(await store.heads())[0]!, id: 'real' };
    await store.begin(real);
    await removeStory(store);
    expect((await store.heads()).map(({ id }) => id)).toEqual(['real']);
    expect(await store.events('story-ladder-36-12')).toEqual([]);
  }, 600_000);
});
