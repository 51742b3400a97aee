import { describe, expect, it } from 'vitest';
import { figureRows } from '../../../src/record/figures-csv.ts';
import type { Judged, Result } from '../../../src/record/judged.ts';
import type { Standing } from '../../../src/record/known-keys.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { reportHtml } from '../../../src/record/report.ts';
import type { Verification } from '../../../src/record/verify.ts';
import { startOf } from '../check/support/say.ts';

const CODE = { document: 'State code', section: '12', sure: 'seen' } as const;
const PRACTICE = { document: 'common practice of the fire service', sure: 'practice' } as const;

/** A leak test as the judge may give it; the numbers and the code are made up. */
const LEAK = {
  verdict: 'fail',
  reason: 'Primary dropped 4 psi.',
  figures: {
    primaryDrop: { value: 4.04, unit: 'psi', uncertainty: 0.82 },
    secondaryDrop: { value: 1, unit: 'psi', uncertainty: 0.82 },
    interval: { value: 61.96, unit: 's', uncertainty: 0 },
  },
  limits: [
    { figure: 'primaryDrop', max: 3, unit: 'psi', source: CODE },
    { figure: 'secondaryDrop', max: 3, unit: 'psi', source: CODE },
    { figure: 'primaryDrop', max: 2, strict: true, unit: 'psi', source: { document: 'Manual', sure: 'seen' } },
    { figure: 'interval', min: 60, unit: 's', source: PRACTICE },
    { figure: 'interval', min: 30, strict: true, unit: 's', source: PRACTICE },
    { figure: 'warningAt', min: 55, max: 75, unit: 'psi', source: CODE },
  ],
  conditions: [
    { what: 'engine off', state: 'known', source: PRACTICE },
    { what: 'ground level', state: 'assumed', source: PRACTICE },
  ],
  flags: ['Primary 116 psi can hardly follow', 'Nobody could be asked'],
} as unknown as Result;
const BARE = { verdict: 'not judged', reason: 'skipped, "no room"', figures: {}, limits: [] } as unknown as Result;

function judged(
  more: { results?: readonly Result[]; verdict?: string; clock?: object; callouts?: object[] } = {},
): Judged {
  const { results = [LEAK, BARE], verdict = 'fail', clock = { start: 1000, end: 486_600 } } = more;
  const callouts = more.callouts ?? [
    { meaning: { cues: [], command: 'correction' } },
    { meaning: { cues: [], command: 'yes' }, unconfirmed: true },
    { unconfirmed: true },
    {},
  ];
  return {
    state: { start: startOf(), clock, callouts },
    view: { verdict, results: results.map((result, at) => ({ title: `Step <${at}>`, result })) },
  } as unknown as Judged;
}

const LOG = {
  header: { check: 'c1', version: 2 },
  entries: [
    { event: { type: 'seal' } },
    { event: { type: 'remark', wall: '2026-05-04', officer: 'Capt. R. Whitehorse', text: 'Fixed.' } },
    { event: { type: 'countersigned', wall: '2026-05-05', officer: 'Capt. R. Whitehorse' } },
  ],
  end: { count: 3, head: 'abc' },
} as unknown as LogFile;

/** What verifying that log says; who signed is in entries 1 and 2, by name only. */
function verification(faults: object[] = [], device = ''): Verification {
  const by = (entry: number) => [{ entry, officer: 'Capt. R. Whitehorse' }];
  return { faults, device, remarked: by(1), countersigned: by(2) } as unknown as Verification;
}

/** The text of the page, without tags, a line for each piece of text. */
function page(of = judged(), sealer: Standing = { kind: 'own' }, faults: object[] = [], log = LOG): string[] {
  const text = reportHtml(log, of, verification(faults, 'aaaa bbbb'), sealer);
  return text
    .slice(text.indexOf('<body>'))
    .replace(/<[^>]*>/g, '\n')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');
}

describe('the report of a check', () => {
  it('says whose check it was, how long it took, what was corrected and what nobody confirmed', () => {
    const lines = page();
    expect(lines.slice(0, 14)).toEqual([
      'Engine 31: Full cab check',
      '✗ FAIL',
      'Started',
      expect.stringMatching(/^May [34], 2026 at \d+:30 (AM|PM) /),
      'Operator',
      'A. Okafor',
      'Limits',
      'Fire service practice',
      'Time taken',
      '8 min 6 s',
      'Corrections',
      '1',
      'Taken unconfirmed',
      '2',
    ]);
    expect(page(judged({ clock: { start: 0 } }))).toContain('not timed');
    expect(page(judged({ clock: { end: 9 } }))).toContain('not timed');
  });

  it('has its landmarks, and heads of rows and columns, for a screen reader', () => {
    const text = reportHtml(LOG, judged(), verification([], 'a'), { kind: 'own' });
    const tags = [...text.matchAll(/<(\/?(?:header|main|footer|table)|th scope="\w+")/g)].map(([, tag]) => tag);
    const columns = Array.from({ length: 5 }, () => 'th scope="col"');
    expect(tags).toEqual([
      ...['header', '/header', 'main', 'table', ...columns],
      ...['th scope="row"', 'th scope="row"', '/table', '/main', 'footer', '/footer'],
    ]);
  });

  it('shows each step with figures, limits and their sources, and what they rest on', () => {
    const lines = page();
    const from = lines.indexOf('Step &#60;0&#62;');
    expect(lines.slice(from - 5, lines.indexOf('Step &#60;1&#62;') + 4)).toEqual([
      ...['Step', 'Verdict', 'Measured', 'Limit and source', 'Why'],
      'Step &#60;0&#62;',
      '✗ fail',
      'primary drop 4 ± 0.8 psi',
      'secondary drop 1 ± 0.8 psi',
      'interval 62 s',
      'primary drop and secondary drop at most 3 psi (State code, 12)',
      'primary drop less than 2 psi (Manual)',
      'interval at least 60 s (common practice, no source)',
      'interval more than 30 s (common practice, no source)',
      'warning at 55 to 75 psi (State code, 12)',
      'Primary dropped 4 psi.',
      'Primary 116 psi can hardly follow.',
      'Nobody could be asked.',
      'Under: engine off, ground level (assumed).',
      'Step &#60;1&#62;',
      '– not judged',
      'skipped, &#34;no room&#34;',
      expect.stringMatching(/^May [34], 2026.*: Capt. R. Whitehorse remarks \(name only\): Fixed.$/),
    ]);
  });

  it('warns of a failed check, of a log that does not verify, and of a key that nobody knows', () => {
    const failed = 'Outside its limit or out of service: Step &#60;0&#62;. Do not drive on a failed check.';
    expect(page()).toContain(failed);
    expect(page(judged({ verdict: 'pass' }))).not.toContain(failed);
    expect(page(judged({ verdict: 'pass' }))[1]).toBe('✓ PASS');
    const broken = 'This log is not as it was sealed: Entry 3 is missing. Read it with that in mind.';
    expect(page(judged(), undefined, [{ what: 'Entry 3 is missing.' }, { what: 'More.' }])).toContain(broken);
    expect(page().join(' ')).not.toMatch(/not as it was sealed|not known|checksum/);
    const of = (kind: string): string => page(judged(), { kind, name: 'Tablet 3' } as unknown as Standing).join(' ');
    expect(of('unknown')).toContain(
      'sealed with a key that the exporting device does not know (aaaa bbbb): who made it is',
    );
    expect(of('throwaway')).toContain('its seal is only a checksum, and does not say who made it.');
    expect(of('known')).toContain('aaaa bbbb, known here as Tablet 3, format version');
    expect(of('own')).not.toContain('known here as');
  });

  it('shows what officers said, and the seal', () => {
    const lines = page();
    expect(lines.join('\n')).toMatch(/May [34], 2026.*: Capt. R. Whitehorse remarks \(name only\): Fixed./);
    expect(lines.join('\n')).toMatch(
      /May [45], 2026.*: Capt. R. Whitehorse has seen and countersigned this check \(name only\)./,
    );
    expect(lines.join(' ')).toContain(
      'Log c1, 3 entries, ends in abc. Sealed with the key aaaa bbbb, format version 2.',
    );
    const bare = reportHtml({ ...LOG, entries: [] }, judged(), verification(), {
      kind: 'own',
    });
    expect(bare).not.toContain('class="officers"');
  });

  it('has the review of the last report, with the documents that ask for it and who signed', () => {
    const { state, view } = judged();
    const review = {
      driver: 'M. <Lindqvist>',
      wall: '2026-05-05T07:30:00.000Z',
      defects: [{ title: 'Drive belts', words: 'frayed', found: 'certified', by: 'the shop' }],
    };
    const profile = { ...state.start.profile, reportReview: [CODE, { document: '49 CFR 396.13', sure: 'seen' }] };
    const of = { view, state: { ...state, start: { ...state.start, profile, review } } } as unknown as Judged;
    const lines = page(of);
    expect(lines).toContain('Review of the last report (State code, 49 CFR 396.13)');
    expect(lines).toContain('Drive belts: frayed: repair certified by the shop');
    expect(lines.join(' ')).toMatch(/Signed before the check by\s+M. &#60;Lindqvist&#62;/);
  });

  it('of a check in which nothing was done counts no corrections', () => {
    const lines = page(judged({ results: [], verdict: 'incomplete' }));
    expect(lines[1]).toBe('– INCOMPLETE');
    expect(lines[lines.indexOf('Corrections') + 1]).toBe('0');
  });

  it('loads nothing and runs nothing', () => {
    const text = reportHtml(LOG, judged(), verification(), { kind: 'own' });
    expect(text).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
    expect(text).not.toMatch(/<script|<img|<link|href=|src=/i);
  });
});

describe('the table of figures', () => {
  it('has a line for each figure, with the strictest limit on each side and where it comes from', () => {
    const [first, , third, fourth, ...more] = figureRows(LOG, judged()).split('\r\n');
    const check = 'c1,2026-05-04T07:30:00Z,Engine 31,A. Okafor,Full cab check,Fire service practice';
    expect(first).toBe(
      `${check},Step <0>,fail,primaryDrop,4.04,psi,0.82,,2,psi,State code 12; Manual,Primary dropped 4 psi.`,
    );
    expect(third).toBe(
      `${check},Step <0>,fail,interval,61.96,s,0,60,,s,common practice of the fire service,Primary dropped 4 psi.`,
    );
    expect(fourth).toBe(`${check},Step <1>,not judged,,,,,,,,,"skipped, ""no room"""`);
    expect(more).toEqual(['']);
  });
});
