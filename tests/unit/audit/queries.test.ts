import { describe, expect, it } from 'vitest';
import { defectsOf, isClosed } from '../../../src/audit/defects.ts';
import { besideEarlier } from '../../../src/audit/earlier.ts';
import { choicesOf, choose } from '../../../src/audit/filter.ts';
import { driftingRigs, trendsOf } from '../../../src/audit/trends.ts';
import type { Row } from '../../../src/audit/row.ts';
import { rowOf } from '../../../src/audit/row.ts';
import { rate, row } from './rows.ts';

const NOBODY: ReadonlySet<string> = new Set();
const hold = (value: number, verdict = 'pass', more = {}) => ({
  steps: [{ id: 'applied-leakage', title: 'Applied leakage', verdict, figures: [rate(value, more)] }],
});
const ids = (rows: readonly Row[]): string[] => rows.map(({ id }) => id);

describe('choosing checks', () => {
  const rows = [
    row('a', '2026-03-02T07:00:00Z', { countersigned: ['Capt. R. Whitehorse'], ...hold(1) }),
    row('b', '2026-03-09T07:00:00Z', {
      rigId: 'engine-31',
      rigName: 'Engine 31',
      operator: 'M. Lindqvist',
      verdict: 'marginal',
      ...hold(2.9, 'marginal'),
    }),
    row('c', '2026-03-16T23:30:00Z', { verdict: 'fail', trouble: 'Entry 3 was edited.', ...hold(3.9, 'fail') }),
    row('d', '2026-03-23T07:00:00Z', {
      verdict: 'incomplete',
      remarks: [{ officer: 'Capt. R. Whitehorse', text: 'Radio traffic', wall: '' }],
    }),
  ];
  it.each([
    [{}, ['a', 'b', 'c', 'd']],
    [{ rig: 'engine-31' }, ['b']],
    [{ operator: 'A. Okafor' }, ['a', 'c', 'd']],
    [{ from: '2026-03-09', to: '2026-03-16' }, ['b', 'c']],
    [{ verdict: 'fail' }, ['c']],
    [{ step: 'applied-leakage' }, ['a', 'b', 'c']],
    [{ step: 'applied-leakage', verdict: 'marginal' }, ['b']],
    [{ unsigned: true }, ['b', 'c', 'd']],
    [{ troubled: true }, ['c']],
    [{ text: 'RADIO whitehorse' }, ['d']],
    [{ text: 'ladder lindqvist' }, []],
  ] as const)('%j', (filter, expected) => {
    expect(ids(choose(rows, filter, NOBODY))).toEqual(expected);
  });

  it('by rigs that drift', () => {
    expect(ids(choose(rows, { drifting: true }, new Set(['engine-31'])))).toEqual(['b']);
  });

  it('leaves out a check that still runs', () => {
    const { id, rigId, rigName, operator } = row('x', '2026-03-02T07:00:00Z');
    expect(rowOf({ id, rigId, rigName, operator, startedAt: '', planTitle: '', state: 'running' })).toBeUndefined();
  });

  it('offers each rig, operator and step once', () => {
    expect(choicesOf(rows)).toEqual({
      rigs: [
        { id: 'engine-31', name: 'Engine 31' },
        { id: 'ladder-36', name: 'Ladder 36' },
      ],
      operators: ['A. Okafor', 'M. Lindqvist'],
      steps: [{ id: 'applied-leakage', title: 'Applied leakage' }],
    });
  });
});

describe('trends of a rig', () => {
  const weekly = (values: readonly number[], more = {}): Row[] =>
    values.map((value, week) =>
      row(`w${week}`, new Date(Date.UTC(2026, 0, 5 + 7 * week)).toISOString(), hold(value, 'pass', more)),
    );

  it('say when a figure that grows meets its limit: 2.0 psi a minute, 0.2 more each week, against 3', () => {
    const [found] = trendsOf(weekly([1, 1.2, 1.4, 1.6, 1.8, 2]), 'ladder-36');
    expect(found).toMatchObject({ step: 'applied-leakage', figure: 'secondaryRate', lamp: 'soon', max: 3 });
    // The last of six checks is on 9 February; 1.0 is left, which is five weeks.
    expect(found?.trend).toMatchObject({ meets: { date: '2026-03-16' } });
  });

  it('are steady when the limit is years away or the figure only wavers', () => {
    expect(trendsOf(weekly([1, 1.001, 1.002, 1.003, 1.004]), 'ladder-36')[0]?.lamp).toBe('steady');
    expect(trendsOf(weekly([1, 2, 1, 2, 1, 2, 1]), 'ladder-36')[0]?.lamp).toBe('steady');
  });

  it('say of a day that is far, or that chance explains, neither that it is near nor that nothing drifts', () => {
    // 0.01 more each week against 3: in some four years.
    expect(trendsOf(weekly([1, 1.01, 1.02, 1.03, 1.04]), 'ladder-36')[0]).toMatchObject({
      lamp: 'later',
      trend: { meets: {} },
    });
    expect(trendsOf(weekly([1, 2, 1, 2, 1.2, 2.2]), 'ladder-36')[0]).toMatchObject({
      lamp: 'later',
      trend: { meets: {} },
    });
  });

  it('say first that the last check was outside its limit, though nothing drifted before it, or little is known', () => {
    expect(trendsOf(weekly([1, 1, 1, 1, 1, 1, 4]), 'ladder-36')[0]?.lamp).toBe('outside');
    expect(trendsOf(weekly([4]), 'ladder-36')[0]?.lamp).toBe('outside');
    expect(trendsOf(weekly([4, 1, 1, 1, 1, 1, 1]), 'ladder-36')[0]?.lamp).toBe('steady');
  });

  it('say nothing of three checks', () => {
    expect(trendsOf(weekly([1, 2, 3]), 'ladder-36')[0]?.lamp).toBe('unknown');
  });

  it('take figures and limits of other units to the unit of the newest check', () => {
    const kpa = weekly([1, 1.2, 1.4, 1.6, 1.8]).map((each) => ({
      ...each,
      steps: hold(0, 'pass').steps.map((step) => ({
        ...step,
        figures: each.steps[0]!.figures!.map((figure) => ({
          ...figure,
          value: figure.value * 6.894757,
          unit: 'kPa/min' as const,
        })),
      })),
    }));
    const newest = row('psi', '2026-02-09T00:00:00.000Z', hold(2));
    const [found] = trendsOf([...kpa, newest], 'ladder-36');
    expect(found?.unit).toBe('psi/min');
    expect(found?.points.map(({ value }) => Number(value.toFixed(3)))).toEqual([1, 1.2, 1.4, 1.6, 1.8, 2]);
  });

  it('name only the rigs that drift', async () => {
    const well = weekly([1, 1, 1, 1, 1]).map((each) => ({ ...each, rigId: 'engine-31' }));
    const found = await driftingRigs([...weekly([1, 1.5, 2, 2.5]), ...well], () => Promise.resolve());
    expect([...found.keys()]).toEqual(['ladder-36']);
  });
});

describe('a check beside the earlier ones of its rig', () => {
  it('shows the one before and the median, and not those of other rigs or later', () => {
    const rows = [
      row('a', '2026-03-01', hold(1)),
      row('b', '2026-03-02', hold(1.5)),
      row('c', '2026-03-03', hold(1.1)),
      row('other', '2026-03-03', { rigId: 'engine-31', ...hold(9) }),
      row('d', '2026-03-04', hold(2.4)),
      row('later', '2026-03-05', hold(9)),
    ];
    expect(besideEarlier(rows, 'd')).toMatchObject([
      { figure: 'secondaryRate', now: 2.4, before: 1.1, usual: 1.1, checks: 3 },
    ]);
    expect(besideEarlier(rows, 'a')).toMatchObject([{ now: 1, checks: 0 }]);
  });
});

describe('defects', () => {
  const note = (wall: string) => ({
    remarks: [{ officer: 'Capt. R. Whitehorse', text: 'Hose replaced', wall, repair: 'applied-leakage' }],
  });
  const fail = (date: string, more = {}) => row(`f${date}`, date, { verdict: 'fail', ...hold(4, 'fail'), ...more });
  const pass = (date: string, more = {}) => row(`p${date}`, date, { ...hold(1), ...more });
  const closed = (rows: Row[]): boolean[] => defectsOf(rows).map(isClosed);

  it('are opened by a fail and stay open without a note, or without a passing re-check', () => {
    expect(closed([fail('2026-03-01')])).toEqual([false]);
    expect(closed([fail('2026-03-01'), pass('2026-03-02')])).toEqual([false]);
    expect(closed([fail('2026-03-01', note('2026-03-01T12'))])).toEqual([false]);
  });

  it('are closed by both, whichever comes first', () => {
    expect(closed([fail('2026-03-01', note('2026-03-01T12')), pass('2026-03-02')])).toEqual([true]);
    expect(closed([fail('2026-03-01'), pass('2026-03-02', note('2026-03-04'))])).toEqual([true]);
  });

  it('stay one defect while it fails again, and the old note does not close it', () => {
    const rows = [fail('2026-03-01', note('2026-03-01T12')), fail('2026-03-02'), pass('2026-03-03')];
    expect(defectsOf(rows)).toMatchObject([{ opened: { date: '2026-03-01' }, latest: { date: '2026-03-02' } }]);
    expect(closed(rows)).toEqual([false]);
  });

  it('open anew after they were closed', () => {
    const rows = [fail('2026-03-01', note('2026-03-01T12')), pass('2026-03-02'), fail('2026-03-09')];
    expect(closed(rows)).toEqual([false, true]);
  });

  it('are not closed by a pass on another rig or of another step', () => {
    const other = pass('2026-03-02', { rigId: 'engine-31' });
    expect(closed([fail('2026-03-01', note('2026-03-01T12')), other])).toEqual([false]);
  });
});
