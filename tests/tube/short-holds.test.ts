import { beforeAll, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { SHORT_HOLD } from '../support/tube/bench-rigs.ts';
import { calloutOf } from '../support/tube/edges.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { runTube } from '../support/tube/tube.ts';

/** Edges of holds against the truth in the sound, ms. */
const EDGE_LIMIT = 60;

let host: TubeHost;
beforeAll(async () => {
  host = await nodeHost();
});

it('a rehearsal by voice: words move the controls, the needles move as the rig does, and the coach sees both', async () => {
  const { said, troubles, finished, rehearsed } = await runTube(host, { ...SHORT_HOLD, rehearsal: 'told' });
  expect({ troubles, finished }).toEqual({ troubles: [], finished: true });
  expect(said.filter(({ again }) => again)).toEqual([]);
  const [record] = rehearsed?.check.records ?? [];
  expect(record?.result.verdict).toBe('fail');
  // Nobody touched anything: each control moved where the words for it ended, and no other did.
  const released = said.find(({ text }) => text === 'brakes released');
  const pushed = rehearsed?.cab.hands.filter(({ controls }) => controls.parking === 'push') ?? [];
  expect(pushed).toHaveLength(1);
  expect(Math.abs((pushed[0]?.at ?? 0) - (released?.end ?? 0))).toBeLessThanOrEqual(EDGE_LIMIT);
  expect(rehearsed?.cab.air.parkingOut).toBe(false);
  const [opening, closing] = record?.progress.readings ?? [];
  const [before, after] = said.filter(({ mark }) => mark !== undefined);
  expect(Math.abs((opening?.end ?? 0) - (before?.end ?? 0))).toBeLessThanOrEqual(EDGE_LIMIT);
  expect(Math.abs((closing?.start ?? 0) - (after?.at ?? 0))).toBeLessThanOrEqual(EDGE_LIMIT);
  // Leaks of this size never let a needle settle, and the cue for it was called after a second.
  expect(rehearsed?.report.findings.map(({ kind }) => kind)).toEqual(['early']);
  expect(rehearsed?.report.faults.map(({ outcome }) => outcome)).toEqual(['called', 'called']);
});

it('push-to-talk: only what is said while the pad is held is heard, and a number that is cut off starts no hold', async () => {
  const [UNHELD, CUT] = [0, 4];
  const run = await runTube(host, {
    ...SHORT_HOLD,
    settings: { ...SHORT_HOLD.settings, pushToTalk: true },
    pad: (nth) => (nth === UNHELD ? undefined : { before: 800, after: nth === CUT ? -600 : 100 }),
  });
  expect({ troubles: run.troubles, finished: run.finished }).toEqual({ troubles: [], finished: true });
  const heard = run.said.map((said) => calloutOf(run, said));
  expect(run.said.flatMap((_, nth) => (heard[nth] === undefined ? [nth] : []))).toEqual([UNHELD]);
  expect(run.said[CUT]?.mark).toBe('before');
  // Room and hum of an open microphone are not taken for words: neither before them nor after.
  heard.forEach((callout, nth) => {
    const said = run.said[nth];
    if (callout === undefined || said === undefined || nth === CUT) return;
    expect(Math.abs(callout.at - said.at), said.text).toBeLessThanOrEqual(EDGE_LIMIT);
    expect(Math.abs(callout.end - said.end), said.text).toBeLessThanOrEqual(EDGE_LIMIT);
  });
  const state = replay(run.events);
  expect(view(state).results.map(({ verdict }) => verdict)).toEqual(['fail']);
  const [opening] = state.records[0]?.progress.readings ?? [];
  expect(opening?.start).toBeGreaterThan(run.said[CUT]?.end ?? Infinity);
});
