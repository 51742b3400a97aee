import { describe, expect, it } from 'vitest';
import { reportConditions } from '../../../src/check/conditions.ts';
import { replay, startCheck } from '../../../src/check/machine.ts';
import { wholeCheck } from '../record/logs.ts';
import { FULL, startOf, TENDER_34 } from './support/say.ts';

const [LEVEL, CHOCKED] = ['assumed: ground level', 'assumed: chocks set'];
const PROMPT = 'known: needles called no more than 10 s after the moment';
const CHARGED = 'known: both needles at 80 psi or more';
const ROLLING = ['assumed: chocks stowed', 'assumed: fast idle off', LEVEL];
const TOGETHER = 'known: needles no more than 25 psi apart';

/**
 * What each measurement rests on where nobody has called anything: what must be known is unknown, and then there is no verdict; the
 * rest is assumed, and shown as such. Common practice of the fire service and the sources named in the data.
 */
const SILENT: Readonly<Record<string, readonly string[]>> = {
  approach: [],
  'pre-start-fill': ['assumed: engine off'],
  'governor-cut-out': ['unknown: engine running', PROMPT, CHARGED, TOGETHER],
  'governor-cut-in': ['unknown: engine running', PROMPT, TOGETHER],
  refill: ['unknown: engine running', CHARGED, TOGETHER],
  'static-leakage': [
    'unknown: engine off',
    'unknown: parking brake released',
    'unknown: brake pedal free',
    'assumed: needles settled',
    'known: both needles at 85 psi or more',
    TOGETHER,
    CHOCKED,
    LEVEL,
  ],
  'applied-leakage': [
    'unknown: engine off',
    'unknown: parking brake released',
    'unknown: brake pedal applied',
    'assumed: needles settled',
    'known: both needles at 80 psi or more',
    TOGETHER,
    CHOCKED,
    LEVEL,
  ],
  'low-air-warning': ['unknown: engine off', PROMPT, CHOCKED],
  'spring-brake-activation': ['unknown: engine off', 'unknown: parking brake released', PROMPT, CHOCKED, LEVEL],
  'build-up': ['unknown: engine running', 'assumed: brake pedal free', 'unknown: fast idle on'],
  'final-fill': ['unknown: engine running', CHARGED, TOGETHER],
  'tug-test': [
    'unknown: engine running',
    'unknown: parking brake set',
    'unknown: selector in drive',
    'assumed: brake pedal free',
    ...ROLLING,
  ],
  'hand-valve-test': [
    'unknown: engine running',
    'unknown: parking brake released',
    'assumed: brake pedal free',
    'assumed: selector in drive',
    ...ROLLING,
  ],
  'service-brake-test': ['unknown: engine running', 'assumed: parking brake released', ...ROLLING],
};

describe('what a verdict rests on', () => {
  it.each(Object.entries(SILENT))('where nobody has called anything: %s', (id, expected) => {
    const start = startOf({ rig: TENDER_34 });
    const { progress } = startCheck(start).state;
    const step = FULL.steps.find((each) => each.id === id)!;
    expect(reportConditions(step, start, progress, {}).map(({ state, what }) => `${state}: ${what}`)).toEqual(expected);
  });

  it('in a check done as it should be: everything that must be known, by the callout that made it known', () => {
    const by = (id: string): (string | undefined)[] | undefined =>
      replay(wholeCheck())
        .records.find((record) => record.id === id)
        ?.result.conditions?.map(({ state, what, by: callout }) => `${state}: ${what}, ${callout?.heard ?? '-'}`);
    expect(by('governor-cut-out')?.[0]).toBe('known: engine running, engine-started');
    expect(by('static-leakage')?.slice(0, 4)).toEqual([
      'known: engine off, engine-off',
      'known: parking brake released, brakes-released',
      'known: brake pedal free, brakes-released',
      'known: needles settled, settled',
    ]);
    expect(by('applied-leakage')?.[2]).toBe('known: brake pedal applied, brake-applied');
    expect(by('low-air-warning')?.at(-1)).toBe('known: chocks set, chocks-set');
    expect(by('build-up')).toEqual([
      'known: engine running, engine-started',
      'assumed: brake pedal free, -',
      'known: fast idle on, fast-idle-set',
    ]);
    // The spring brakes came on by themselves.
    expect(by('tug-test')?.slice(1, 4)).toEqual([
      'known: parking brake set, valve-popped',
      'known: selector in drive, in-drive',
      'assumed: brake pedal free, -',
    ]);
  });

  it('names the document of each condition, and how surely it is known', () => {
    const start = startOf();
    const { progress } = startCheck(start).state;
    const step = FULL.steps.find(({ id }) => id === 'static-leakage')!;
    const sources = reportConditions(step, start, progress, {}).map(
      ({ source }) => `${source.document}, ${source.section ?? '-'}, ${source.sure}`,
    );
    expect(sources).toEqual([
      'CDL model manual, section 5, seen',
      'CDL model manual, section 5, seen',
      'CDL model manual, section 5, seen',
      'common practice of the fire service, -, practice',
      'California commercial driver handbook (2013 copy), governor cut-in of 85 psi or more, seen',
      'California Vehicle Code, 26505, gauges within 10 %, seen',
      'common practice of the fire service, -, practice',
      'common practice of the fire service, -, practice',
    ]);
  });
});
