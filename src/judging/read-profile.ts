import * as v from 'valibot';
import type { Outcome } from '../units/outcome.ts';
import { readBySchema, type Fault } from '../units/read-by-schema.ts';
import { kindOf } from './compare.ts';
import { LONGEST_HOLD } from './hold.ts';
import { ENGINE_SPEEDS, TESTS } from './measurement.ts';
import { FIGURES_OF_TEST, LIMIT_FIGURES } from './profile.ts';
import type { Limit, LimitFigure, LimitProfile, TestLimits } from './profile.ts';
import { condition, idText, number, positive, pressureUnit, source, text } from './schema.ts';

const limit = v.strictObject({
  figure: v.picklist(LIMIT_FIGURES),
  min: v.exactOptional(number),
  max: v.exactOptional(number),
  maxTimesCapacity: v.exactOptional(positive),
  strict: v.boolean(),
  unit: v.picklist(['psi', 'kPa', 'psi/min', 'kPa/min', 's', 'min']),
  condition: v.exactOptional(text),
  about: v.exactOptional(v.literal(true)),
  source,
});

const spanEnd = v.union([
  v.strictObject({ value: v.pipe(number, v.minValue(0)), unit: pressureUnit }),
  v.strictObject({ of: v.picklist(['governor-cut-out', 'low-air-warning']), times: positive }),
]);

const profile = v.strictObject({
  format: v.literal('two-needles-limits'),
  version: v.literal(1),
  id: idText,
  title: text,
  jurisdiction: text,
  edition: text,
  applicability: text,
  tests: v.array(
    v.strictObject({
      test: v.picklist(TESTS),
      holdSeconds: v.exactOptional(positive),
      span: v.exactOptional(v.strictObject({ from: spanEnd, to: spanEnd })),
      engineSpeed: v.exactOptional(v.picklist(ENGINE_SPEEDS)),
      belowWarning: v.exactOptional(v.strictObject({ source })),
      note: v.exactOptional(v.strictObject({ text, source })),
      conditions: v.exactOptional(v.array(condition)),
      limits: v.array(limit),
    }),
  ),
  reportReview: v.exactOptional(v.array(source)),
  notMeasured: v.array(v.strictObject({ what: text, source })),
});

const KIND_OF_FIGURE: Readonly<Record<LimitFigure, string>> = {
  reading: 'pressure',
  rate: 'rate',
  cutOut: 'pressure',
  cutIn: 'pressure',
  differential: 'pressure',
  warningAt: 'pressure',
  activationAt: 'pressure',
  buildUpTime: 'time',
};

/**
 * A limit profile from JSON. Refused with the path and the reason when an entry is unknown, missing or of the wrong
 * unit, a minimum is above its maximum, a limit has no source, or one is given twice. `where` names the file.
 */
export function readProfile(json: unknown, where: string): Outcome<LimitProfile> {
  return readBySchema(profile, json, where, { rule: firstFault });
}

function firstFault(read: LimitProfile): Fault | undefined {
  const seen = new Set<string>();
  for (const [index, test] of read.tests.entries()) {
    const path = `tests[${index}]`;
    if (seen.has(test.test)) {
      return {
        path: `${path}.test`,
        what: `The test ${test.test} is given twice.`,
        repair: 'Put its limits into one entry.',
      };
    }
    seen.add(test.test);
    const fault = testFault(test, path) ?? limitsFault(test, path);
    if (fault !== undefined) return fault;
  }
  return undefined;
}

function testFault(test: TestLimits, path: string): Fault | undefined {
  const figures = FIGURES_OF_TEST[test.test];
  if (figures === undefined) {
    return {
      path: `${path}.test`,
      what: `The test ${test.test} measures nothing a limit could apply to.`,
      repair: 'Remove the entry.',
    };
  }
  const isHold = figures.includes('rate');
  const isBuild = figures.includes('buildUpTime');
  const misplaced = (
    key: 'holdSeconds' | 'span' | 'engineSpeed' | 'belowWarning',
    belongs: boolean,
  ): Fault | undefined =>
    test[key] !== undefined && !belongs
      ? { path: `${path}.${key}`, what: `${key} does not belong to the test ${test.test}.`, repair: 'Remove it.' }
      : undefined;
  const wrong =
    misplaced('holdSeconds', isHold) ??
    misplaced('span', isBuild) ??
    misplaced('engineSpeed', isBuild) ??
    misplaced('belowWarning', figures.includes('activationAt'));
  if (wrong !== undefined) return wrong;
  if (isHold && (test.holdSeconds === undefined || test.holdSeconds > LONGEST_HOLD)) {
    return {
      path: `${path}.holdSeconds`,
      what: `A leakage test needs holdSeconds of ${LONGEST_HOLD} at most.`,
      repair: 'Give the shortest hold that can pass, in seconds, usually 60.',
    };
  }
  if (!isBuild) return undefined;
  if (test.span === undefined) {
    return {
      path: `${path}.span`,
      what: 'A build-up needs the span that its time is for.',
      repair: 'Give span.from and span.to.',
    };
  }
  const { from, to } = test.span;
  if ('value' in from && 'value' in to && (from.unit !== to.unit || from.value >= to.value)) {
    return {
      path: `${path}.span`,
      what: 'The span must rise from one pressure to a higher one in the same unit.',
      repair: 'Correct span.from and span.to.',
    };
  }
  return undefined;
}

function limitsFault(test: TestLimits, path: string): Fault | undefined {
  const bounds = new Set<string>();
  for (const [index, one] of test.limits.entries()) {
    const at = `${path}.limits[${index}]`;
    const fault = limitFault(test, one, at);
    if (fault !== undefined) return fault;
    for (const bound of boundsOf(one)) {
      const key = `${one.figure} ${bound}`;
      if (bounds.has(key)) {
        return { path: at, what: `The ${bound}imum of ${one.figure} is given twice.`, repair: 'Keep one of them.' };
      }
      bounds.add(key);
    }
  }
  return undefined;
}

function boundsOf(one: Limit): readonly ('min' | 'max')[] {
  return [
    ...(one.min === undefined ? [] : ['min' as const]),
    ...(one.max === undefined && one.maxTimesCapacity === undefined ? [] : ['max' as const]),
  ];
}

function limitFault(test: TestLimits, one: Limit, at: string): Fault | undefined {
  const figures = FIGURES_OF_TEST[test.test] ?? [];
  if (!figures.includes(one.figure)) {
    return {
      path: `${at}.figure`,
      what: `The test ${test.test} does not measure ${one.figure}.`,
      repair: `Use ${figures.join(' or ')}.`,
    };
  }
  if (kindOf(one.unit) !== KIND_OF_FIGURE[one.figure]) {
    return {
      path: `${at}.unit`,
      what: `${one.figure} is a ${KIND_OF_FIGURE[one.figure]}; ${one.unit} does not measure that.`,
      repair: 'Correct the unit.',
    };
  }
  if (boundsOf(one).length === 0) {
    return { path: at, what: 'The limit has neither a minimum nor a maximum.', repair: 'Give min, max, or both.' };
  }
  if (one.min !== undefined && one.max !== undefined && one.min > one.max) {
    return {
      path: at,
      what: `The minimum ${one.min} is above the maximum ${one.max}.`,
      repair: 'Exchange or correct them.',
    };
  }
  if (one.figure === 'rate' && one.min !== undefined) {
    return { path: `${at}.min`, what: 'A leak has no minimum.', repair: 'Give max only.' };
  }
  if (one.maxTimesCapacity !== undefined && (one.figure !== 'buildUpTime' || one.max !== undefined)) {
    return {
      path: `${at}.maxTimesCapacity`,
      what: 'maxTimesCapacity is for a build-up time and stands instead of max.',
      repair: 'Remove one of them.',
    };
  }
  return undefined;
}
