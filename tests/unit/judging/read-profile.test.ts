import { describe, expect, it } from 'vitest';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { readProfile } from '../../../src/judging/read-profile.ts';
import { profileOf } from './cases.ts';

/** The default profile as JSON, changed at `path`; a value of undefined removes the entry. */
function changed(path: string, value: unknown, id = 'fire-practice'): unknown {
  const json: unknown = JSON.parse(JSON.stringify(profileOf(id)));
  const keys = path.split('.');
  let at = json as Record<string, unknown>;
  for (const key of keys.slice(0, -1)) at = at[key] as Record<string, unknown>;
  const last = keys.at(-1) ?? '';
  // JSON has no undefined: the entry is not there.
  if (value === undefined) Reflect.deleteProperty(at, last);
  else at[last] = value;
  return json;
}

function refusal(json: unknown): { where: string | undefined; what: string } {
  const read = readProfile(json, 'ours.json');
  if (read.ok) throw new Error('was not refused');
  expect(read.problem.repair).toMatch(/^[A-Z].*\.$/);
  return { where: read.problem.where, what: read.problem.what };
}

const LIMIT = profileOf('fire-practice').tests[0]?.limits[0];

describe('a limit profile', () => {
  it('is taken as it is when nothing is wrong', () => {
    for (const profile of BUILT_IN_PROFILES) {
      expect(readProfile(JSON.parse(JSON.stringify(profile)), 'x')).toEqual({ ok: true, value: profile });
    }
  });

  it('comes built in, the fire service practice first, each with its own id', () => {
    expect(BUILT_IN_PROFILES[0]?.id).toBe('fire-practice');
    const ids = BUILT_IN_PROFILES.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of [
      'us-cdl-single',
      'us-cdl-combination',
      'us-cdl-inspection',
      'us-fmvss-121',
      'nfpa-1911-2007',
      'california-cdl',
      'canada-bc',
      'canada-alberta',
      'canada-ontario',
      'canada-quebec',
      'nz',
      'au-wa',
    ]) {
      expect(ids).toContain(id);
    }
  });

  it.each([
    [
      'unknown unit',
      'tests.0.limits.0.unit',
      'bar',
      'tests[0].limits[0].unit',
      /^tests\[0\]\.limits\[0\]\.unit is "bar", which is not possible\.$/,
    ],
    ['missing source', 'tests.0.limits.0.source', undefined, 'tests[0].limits[0].source', /source is missing\.$/],
    [
      'source without document',
      'tests.0.limits.0.source.document',
      undefined,
      'tests[0].limits[0].source.document',
      /document is missing\.$/,
    ],
    [
      'source with an empty document',
      'tests.0.limits.0.source.document',
      '  ',
      'tests[0].limits[0].source.document',
      /document is empty\.$/,
    ],
    [
      'unknown mark',
      'tests.0.limits.0.source.sure',
      'certain',
      'tests[0].limits[0].source.sure',
      /sure is "certain", which is not possible\.$/,
    ],
    ['unknown test', 'tests.0.test', 'horn-test', 'tests[0].test', /test is "horn-test", which is not possible\.$/],
    [
      'unknown figure',
      'tests.0.limits.0.figure',
      'warmth',
      'tests[0].limits[0].figure',
      /figure is "warmth", which is not possible\.$/,
    ],
    [
      'figure of another test',
      'tests.0.limits.0.figure',
      'cutOut',
      'tests[0].limits[0].figure',
      /^The test pre-start-fill does not measure cutOut\.$/,
    ],
    [
      'test without figures',
      'tests.0.test',
      'tug-test',
      'tests[0].test',
      /^The test tug-test measures nothing a limit could apply to\.$/,
    ],
    [
      'minimum above maximum',
      'tests.0.limits.0.min',
      81,
      'tests[0].limits[0]',
      /^The minimum 81 is above the maximum 80\.$/,
    ],
    [
      'unit of another kind',
      'tests.0.limits.0.unit',
      's',
      'tests[0].limits[0].unit',
      /^reading is a pressure; s does not measure that\.$/,
    ],
    [
      'unknown entry',
      'tests.0.limits.0.colour',
      'red',
      'tests[0].limits[0].colour',
      /colour is not an entry that is known here\.$/,
    ],
    [
      'value that is not a number',
      'tests.0.limits.0.min',
      '70',
      'tests[0].limits[0].min',
      /min is "70", which is not possible\.$/,
    ],
    ['missing operator', 'tests.0.limits.0.strict', undefined, 'tests[0].limits[0].strict', /strict is missing\.$/],
    ['unknown format', 'format', 'limits', 'format', /^format is "limits", which is not possible\.$/],
    ['newer version', 'version', 2, 'version', /^version is 2, which is not possible\.$/],
    ['id with capitals', 'id', 'Fire', 'id', /^id is "Fire", which is not possible\.$/],
    ['missing title', 'title', undefined, 'title', /^title is missing\.$/],
    ['missing applicability', 'applicability', undefined, 'applicability', /^applicability is missing\.$/],
    [
      'leak in psi',
      'tests.3.limits.0.unit',
      'psi',
      'tests[3].limits[0].unit',
      /^rate is a rate; psi does not measure that\.$/,
    ],
    ['leak with a minimum', 'tests.3.limits.0.min', 1, 'tests[3].limits[0].min', /^A leak has no minimum\.$/],
    [
      'leakage without hold',
      'tests.3.holdSeconds',
      undefined,
      'tests[3].holdSeconds',
      /^A leakage test needs holdSeconds of 900 at most\.$/,
    ],
    [
      'hold too long',
      'tests.3.holdSeconds',
      901,
      'tests[3].holdSeconds',
      /^A leakage test needs holdSeconds of 900 at most\.$/,
    ],
    [
      'hold of no length',
      'tests.3.holdSeconds',
      0,
      'tests[3].holdSeconds',
      /^tests\[3\]\.holdSeconds is 0, which is not possible\.$/,
    ],
    [
      'hold where none belongs',
      'tests.0.holdSeconds',
      60,
      'tests[0].holdSeconds',
      /^holdSeconds does not belong to the test pre-start-fill\.$/,
    ],
    [
      'span where none belongs',
      'tests.0.span',
      { from: { value: 1, unit: 'psi' }, to: { value: 2, unit: 'psi' } },
      'tests[0].span',
      /^span does not belong/,
    ],
    [
      'engine speed where none belongs',
      'tests.0.engineSpeed',
      'idle',
      'tests[0].engineSpeed',
      /^engineSpeed does not belong/,
    ],
    [
      'order where none belongs',
      'tests.0.belowWarning',
      { source: { document: 'x', sure: 'seen' } },
      'tests[0].belowWarning',
      /^belowWarning does not belong/,
    ],
    [
      'build-up without span',
      'tests.7.span',
      undefined,
      'tests[7].span',
      /^A build-up needs the span that its time is for\.$/,
    ],
    ['span that falls', 'tests.7.span.from.value', 101, 'tests[7].span', /^The span must rise/],
    ['span without width', 'tests.7.span.from.value', 100, 'tests[7].span', /^The span must rise/],
    ['span in two units', 'tests.7.span.from.unit', 'kPa', 'tests[7].span', /^The span must rise/],
    [
      'volume correction beside a maximum',
      'tests.7.limits.0.maxTimesCapacity',
      25,
      'tests[7].limits[0].maxTimesCapacity',
      /^maxTimesCapacity is for a build-up time and stands instead of max\.$/,
    ],
  ])('is refused for: %s', (_, path, value, where, what) => {
    const problem = refusal(changed(path, value));
    expect(problem.where).toBe(`ours.json, ${where}`);
    expect(problem.what).toMatch(what);
  });

  it('is refused for a limit without any bound', () => {
    const problem = refusal(changed('tests.1.limits.0.max', undefined));
    expect(problem).toEqual({
      where: 'ours.json, tests[1].limits[0]',
      what: 'The limit has neither a minimum nor a maximum.',
    });
  });

  it('is refused for a volume correction of something else than a build-up', () => {
    const open = Object.fromEntries(Object.entries(LIMIT ?? {}).filter(([key]) => key !== 'max'));
    expect(refusal(changed('tests.0.limits.0', { ...open, maxTimesCapacity: 25 })).what).toMatch(
      /^maxTimesCapacity is for a build-up/,
    );
  });

  it('is refused for a test given twice', () => {
    const tests = profileOf('fire-practice').tests;
    expect(refusal({ ...profileOf('fire-practice'), tests: [...tests, tests[0]] })).toEqual({
      where: 'ours.json, tests[8].test',
      what: 'The test pre-start-fill is given twice.',
    });
  });

  it.each([
    [[{ ...LIMIT }, { ...LIMIT }], 'The minimum of reading is given twice.'],
    [[{ ...LIMIT }, { ...LIMIT, min: undefined }], undefined],
  ])('is refused for a bound given twice', (limits, what) => {
    const json: unknown = JSON.parse(
      JSON.stringify({ ...profileOf('fire-practice'), tests: [{ test: 'pre-start-fill', limits }] }),
    );
    expect(refusal(json)).toEqual({
      where: 'ours.json, tests[0].limits[1]',
      what: what ?? 'The maximum of reading is given twice.',
    });
  });

  it('may give the two bounds apart, with operators of their own', () => {
    const { min, max, ...rest } = LIMIT as { min?: number; max?: number };
    const json = {
      ...profileOf('fire-practice'),
      tests: [
        {
          test: 'pre-start-fill',
          limits: [
            { ...rest, min },
            { ...rest, max, strict: true },
          ],
        },
      ],
    };
    expect(readProfile(json, 'ours.json').ok).toBe(true);
  });

  it('may have equal bounds', () => {
    expect(readProfile(changed('tests.0.limits.0.min', 80), 'ours.json').ok).toBe(true);
  });

  it.each([[null], ['text'], [3]])('is refused as a whole when it is %o', (json) => {
    expect(refusal(json).where).toBe('ours.json');
  });
});
