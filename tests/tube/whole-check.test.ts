import { beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { LADDER_36, WHOLE_CHECK } from '../support/tube/bench-rigs.ts';
import { calloutOf, edgesOf } from '../support/tube/edges.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { NEVER_WAITS } from '../support/tube/operator.ts';
import { runTube, type TubeRun } from '../support/tube/tube.ts';

/** Edges of holds and windows against the truth in the sound, ms. */
const EDGE_LIMIT = 60;
/** The figures of the rig, but for its leak, are those of common practice of the fire service; see the profile `fire-practice`. */
const PASSED = [
  'approach',
  'pre-start-fill',
  'governor-cut-out',
  'governor-cut-in',
  'refill',
  'low-air-warning',
  'spring-brake-activation',
  'build-up',
  'final-fill',
];

let host: TubeHost;
beforeAll(async () => {
  host = await nodeHost();
});

function verdicts(run: TubeRun): Record<string, string> {
  return Object.fromEntries(view(replay(run.events)).results.map(({ id, verdict }) => [id, verdict]));
}

describe('a whole check by voice, sound to record', () => {
  it('of Ladder 36 with a leak, by an operator who waits for nothing: every callout once, both holds fail and nothing else, edges within 60 ms, the log is sealed', async () => {
    const run = await runTube(host, { ...WHOLE_CHECK, scenario: LADDER_36, voice: 'awb', pace: NEVER_WAITS });
    expect(run.troubles).toEqual([]);
    expect(run.said.filter(({ again }) => again)).toEqual([]);
    expect(run.said.filter((said) => calloutOf(run, said) === undefined)).toEqual([]);
    expect(view(replay(run.events)).verdict).toBe('fail');
    expect(verdicts(run)).toEqual({
      ...Object.fromEntries(PASSED.map((id) => [id, 'pass'])),
      'static-leakage': 'fail',
      'applied-leakage': 'fail',
      // What would move the rig is left out after a fail.
      'tug-test': 'not judged',
      'service-brake-test': 'not judged',
    });
    const edges = edgesOf(run);
    expect(edges.map(({ mark }) => mark)).toEqual(['before', 'after', 'before', 'after', 'lower', 'upper']);
    for (const { text, error } of edges) expect(Math.abs(error), text).toBeLessThanOrEqual(EDGE_LIMIT);
    expect(run.log === undefined ? 'no log' : (await verifyLog(run.log)).faults).toEqual([]);
    // What it says of itself is what it is for: eight minutes of sound or more.
    expect(run.seconds).toBeGreaterThan(480);
  });
});
