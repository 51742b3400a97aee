import type { Measurement, TestId } from './measurement.ts';
import type { Source, StepResult } from './result.ts';
import { notJudged } from './sheet.ts';

const PRACTICE: Source = { document: 'common practice of the fire service', sure: 'practice' };
const CALLED: Source = { document: 'called by the operator', sure: 'practice' };

interface Observation {
  readonly verdict: 'pass' | 'fail';
  readonly reason: string;
}

const HELD: Observation = { verdict: 'pass', reason: 'The brake held the rig (common practice).' };
const MOVED: Observation = {
  verdict: 'fail',
  reason: 'The rig moved against the brake; it must hold (common practice).',
};

/** What was seen or felt, by cue id. */
const OBSERVATIONS: Readonly<Partial<Record<TestId, Readonly<Record<string, Observation>>>>> = {
  'tug-test': { 'rig-held': HELD, 'rig-moved': MOVED },
  'hand-valve-test': { 'hand-valve-held': HELD, 'rig-held': HELD, 'rig-moved': MOVED },
  'service-brake-test': {
    'straight-stop': { verdict: 'pass', reason: 'The rig stopped straight (common practice).' },
    'pulled-left': {
      verdict: 'fail',
      reason: 'The rig pulled left under braking; it must stop straight (common practice).',
    },
    'pulled-right': {
      verdict: 'fail',
      reason: 'The rig pulled right under braking; it must stop straight (common practice).',
    },
  },
};

/** The cue ids that say how a brake test went that is seen or felt. */
export function observedIn(test: TestId): readonly string[] {
  return Object.keys(OBSERVATIONS[test] ?? {});
}

/** The brake tests that are seen or felt. They rest on common practice, whatever the profile. */
export function judgeObservation({ test, observed }: Measurement): StepResult {
  if (observed === undefined) return notJudged('Nothing was called of what was seen or felt.');
  const known = OBSERVATIONS[test] ?? {};
  const seen = Object.hasOwn(known, observed) ? known[observed] : undefined;
  if (seen === undefined) return notJudged(`"${observed}" does not say how this test went.`);
  return { ...seen, figures: {}, limits: [], source: PRACTICE };
}

/** A step that is done and said: passes because it was called, and has no figures. */
export function judgeConfirmation(): StepResult {
  return {
    verdict: 'pass',
    reason: 'Called by the operator; this step has no limit.',
    figures: {},
    limits: [],
    source: CALLED,
  };
}
