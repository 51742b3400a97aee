import { describe, expect, it } from 'vitest';
import { readdirSync, readFileSync } from 'node:fs';
import { readPlan } from '../../../src/check/read-plan.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { FULL } from './support/say.ts';

const FOLDER = new URL('../../../src/check/plans/', import.meta.url);
const GRAMMAR = readFileSync(new URL('../../../grammars/cues.jsgf', import.meta.url), 'utf8');
const CUES = new Set([...GRAMMAR.matchAll(/\{cue ([a-z-]+)\}/g)].map(([, id]) => id ?? ''));

/** The line that a plan with this change in its first step (or in itself) is refused with. */
function refusal(step: object, plan: object = {}): string {
  const [first, ...rest] = FULL.steps;
  const json: unknown = JSON.parse(JSON.stringify({ ...FULL, steps: [{ ...first, ...step }, ...rest], ...plan }));
  const read = readPlan(json, 'my-plan.json', CUES);
  return read.ok ? 'accepted' : problemLine(read.problem);
}

describe('the built-in plans', () => {
  it.each(readdirSync(FOLDER).filter((name) => name.endsWith('.json')))('%s is valid', (name) => {
    const read = readPlan(JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8')), name, CUES);
    expect(read.ok ? '' : problemLine(read.problem)).toBe('');
  });

  it('warns before the brakes are off and before the rig moves', () => {
    const caution = (id: string): string => FULL.steps.find((step) => step.id === id)?.caution ?? '';
    expect(caution('static-leakage')).toMatch(/chocked.*level.*nobody under/i);
    expect(caution('tug-test')).toMatch(/clear area/i);
    expect(caution('service-brake-test')).toMatch(/low speed/i);
  });
});

describe('a plan with a mistake is refused with its place and the reason', () => {
  it.each([
    [{ kind: 'wait' }, /^my-plan\.json, steps\[0\]\.kind: .*wait/],
    [{ cues: ['chocks-set', 'ignition-on', 'horn'] }, /steps\[0\]\.cues\[2\]: “horn” is not a cue/],
    [{ cues: ['chocks-set', 'ignition-on', 'chocks-set'] }, /steps\[0\]\.cues\[2\]: .*twice/],
    [{ id: 'refill' }, /steps\[4\]\.id: Two steps have the id “refill”/],
    [{ kind: 'hold' }, /steps\[0\]\.holdSeconds: A hold has no length/],
    [{ kind: 'event' }, /steps\[0\]\.outcomes: An event step has no cue/],
    [{ kind: 'observe', outcomes: [] }, /steps\[0\]\.outcomes: An observe step/],
    [{ engineSpeed: 'idle' }, /steps\[0\]\.engineSpeed: A confirm step has no use/],
    [{ engineSpeed: 'fast' }, /steps\[0\]\.engineSpeed.*fast/],
    [{ holdSeconds: 60 }, /steps\[0\]\.holdSeconds: A confirm step has no use/],
    [{ kind: 'build', from: { value: 85, unit: 'psi' } }, /steps\[0\]\.to: A build step lacks/],
    [
      { kind: 'build', from: { value: 700, unit: 'kPa' }, to: { value: 100, unit: 'psi' } },
      /steps\[0\]\.from: The window/,
    ],
    [
      { kind: 'reading', plausible: { min: { value: 90, unit: 'psi' }, max: { value: 80, unit: 'psi' } } },
      /steps\[0\]\.plausible/,
    ],
    [{ startsClock: 'engine-off' }, /steps\[0\]\.startsClock: “engine-off” is not a cue of this step/],
    [{ startsClock: undefined }, /steps\[13\]\.stopsClock: The clock is stopped but not started/],
    [{ stopsClock: 'mirrors-set' }, /steps\[13\]\.stopsClock: The clock is started or stopped in two steps/],
    [{ brief: ' ' }, /steps\[0\]\.brief is empty/],
    [{ title: undefined }, /steps\[0\]\.title is missing/],
    [{ colour: 'red' }, /steps\[0\]\.colour/],
  ])('%j', (change, line) => {
    expect(refusal(change)).toMatch(line);
  });

  it('as a whole', () => {
    expect(refusal({}, { steps: [] })).toMatch(/^my-plan\.json, steps: .*at least one step/);
    expect(refusal({}, { format: 'limits' })).toMatch(/not a plan/);
    expect(refusal({}, { version: 2 })).toMatch(/version 2 cannot be read/);
    for (const json of [null, 7, 'plan', [], {}]) expect(readPlan(json, 'x.json', CUES).ok).toBe(false);
  });

  it('but not when nothing is wrong', () => {
    expect(refusal({})).toBe('accepted');
  });
});
