import { commands } from 'vitest/browser';
import { expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { SHORT_HOLD } from '../support/tube/bench-rigs.ts';
import { edgesOf } from '../support/tube/edges.ts';
import { browserHost } from '../support/tube/host-browser.ts';
import { tellOf } from '../support/tube/tell.ts';
import { runTube } from '../support/tube/tube.ts';

/** Edges of holds against the truth in the sound, ms. */
const EDGE_LIMIT = 60;

it('a hold by voice in a page is heard, timed, judged and kept bit for bit as in Node', async () => {
  const run = await runTube(await browserHost(), SHORT_HOLD);
  expect(run.troubles).toEqual([]);
  expect(run.said.filter(({ again }) => again)).toEqual([]);
  expect(view(replay(run.events)).results.map(({ id, verdict }) => [id, verdict])).toEqual([
    ['static-leakage', 'fail'],
  ]);
  const edges = edgesOf(run);
  expect(edges.map(({ mark }) => mark)).toEqual(['before', 'after']);
  for (const { text, error } of edges) expect(Math.abs(error), text).toBeLessThanOrEqual(EDGE_LIMIT);
  expect(run.log === undefined ? 'no log' : (await verifyLog(run.log)).faults).toEqual([]);
  const inNode: unknown = JSON.parse(await commands.shortHoldInNode());
  expect(JSON.parse(tellOf(run))).toEqual(inNode);
});
