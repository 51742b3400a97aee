import { describe, expect, it } from 'vitest';
import type { CheckHead } from '../../../src/record/record-store.ts';
import { pastWalk } from '../../../src/rehearsal/pre-trip/past-walk.ts';
import { readPast, type Past } from '../../../src/ui/rehearse/past.ts';
import { doneBy, progressCsv } from '../../../src/ui/rehearse/trainee-progress.ts';

const REHEARSAL: Past = {
  id: 'r1',
  trainee: 'P. Serrano',
  wall: '2026-05-02T07:00:00Z',
  scenario: 'engine-31-healthy',
  level: 'silent',
  score: 85,
  steps: [
    { step: 'tug-test', score: 70 },
    { step: 'build-up', score: 100 },
  ],
  kinds: ['late'],
};
const CHECK: CheckHead = {
  id: 'c1',
  startedAt: '2026-05-04T07:00:00Z',
  rigId: 'engine-31',
  rigName: 'Engine 31, "old"',
  operator: 'P. Serrano',
  planTitle: 'Full cab check',
  state: 'finished',
  verdict: 'fail',
};
const CHECKS: readonly CheckHead[] = [
  { ...CHECK, examination: true },
  { ...CHECK, id: 'c2', operator: 'A. Okafor' },
  { ...CHECK, id: 'c3', state: 'running' },
  { ...CHECK, id: 'c4', startedAt: '2026-05-01T07:00:00Z', verdict: 'pass', trouble: 'Entry 4 was changed.' },
];

describe('what a trainee did', () => {
  it('is one list of rehearsals and checks that are over, the newest first, of that trainee alone', () => {
    const done = doneBy('P. Serrano', [REHEARSAL, { ...REHEARSAL, trainee: 'M. Lindqvist' }], CHECKS);
    expect(done.map(({ wall }) => wall.slice(8, 10))).toEqual(['04', '02', '01']);
  });

  it('has the walks on paper among the rehearsals, and their weak places in the table', () => {
    const places = [{ step: 'cab', title: 'Cab', score: 50, lines: [] }];
    const findings = [
      { kind: 'fault-not-called', step: 'cab', at: 0, what: 'Horn: inoperative. Called: good.', curve: [] },
      { kind: 'wrong-class', step: 'cab', at: 0, what: 'Seat', curve: [] },
    ] as const;
    const setup = { trainee: 'P. Serrano', wall: '2026-05-03T07:00:00Z', level: 'told', planId: 'cab' } as const;
    const kept = readPast([{ id: 'w1', ...pastWalk(setup, { score: 50, places, findings }) }]);
    const table = progressCsv('P. Serrano', doneBy('P. Serrano', kept, []), (id) => id);
    expect(table.split('\r\n')[1]).toBe('P. Serrano,2026-05-03T07:00:00Z,rehearsal,pre-trip-cab,told,50,2,cab 50,,');
  });

  it('is a table that a spreadsheet reads, the oldest first, and trusts no verdict of a log with a fault', () => {
    const done = doneBy('P. Serrano', [REHEARSAL], CHECKS);
    expect(progressCsv('P. Serrano', done, (id) => id.replaceAll('-', ' ')).split('\r\n')).toEqual([
      'trainee,when,kind,what,level,score,findings,weak steps,rig,verdict',
      'P. Serrano,2026-05-01T07:00:00Z,check,Full cab check,,,,,"Engine 31, ""old""",not trusted: Entry 4 was changed.',
      'P. Serrano,2026-05-02T07:00:00Z,rehearsal,engine 31 healthy,silent,85,1,tug test 70,,',
      'P. Serrano,2026-05-04T07:00:00Z,examination,Full cab check,,,,,"Engine 31, ""old""",fail',
      '',
    ]);
  });
});
