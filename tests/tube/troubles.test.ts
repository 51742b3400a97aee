import { beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { msToSamples } from '../../src/units/time.ts';
import { drawn, seedOfRun } from '../support/seed.ts';
import { ONE_HOLD } from '../support/tube/bench-rigs.ts';
import { calloutOf, edgesOf } from '../support/tube/edges.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { runTube, type TubeRun } from '../support/tube/tube.ts';

const EDGE_LIMIT = 60;

let host: TubeHost;
let whole: TubeRun;
beforeAll(async () => {
  host = await nodeHost();
  whole = await runTube(host, ONE_HOLD);
});

function judged(run: TubeRun): unknown {
  return view(replay(run.events)).results.map(({ id, verdict, result }) => [id, verdict, result.figures]);
}

async function faultsOf({ log }: TubeRun): Promise<unknown> {
  return log === undefined ? 'no log' : (await verifyLog(log)).faults;
}

function expectTrueEdges(run: TubeRun): void {
  for (const { text, error } of edgesOf(run)) expect(Math.abs(error), text).toBeLessThanOrEqual(EDGE_LIMIT);
}

describe(`one hold, in a test tube; seed ${seedOfRun()}`, () => {
  it('is the same a second time, bit for bit, but for the key and its signature', async () => {
    const again = await runTube(host, ONE_HOLD);
    expect(again).toEqual({ ...whole, log: again.log });
    expect(view(replay(again.events)).verdict).toBe('pass');
  });

  it('is broken by words against it, told so, and measured anew', async () => {
    const run = await runTube(host, {
      ...ONE_HOLD,
      pace: { ...ONE_HOLD.pace, blurt: { text: 'engine started', after: 20_000 } },
      longest: 8 * 60_000,
    });
    const told = run.answers.find(({ answer }) => answer.type === 'contradicted');
    expect(told?.answer).toMatchObject({ cue: 'engine-started', condition: { part: 'engine', is: 'off' } });
    const hold = replay(run.events).records.find(({ id }) => id === 'static-leakage');
    const blurted = run.events.find(
      (event) =>
        event.type === 'callout' &&
        event.meaning?.cues[0] === 'engine-started' &&
        event.at > (hold?.progress.from ?? 0),
    );
    expect(hold?.result.verdict).toBe('pass');
    expect(hold?.progress.readings[0]?.start).toBeGreaterThan(blurted?.at ?? Infinity);
  });

  it('is heard alike through a microphone of 44.1 kHz', async () => {
    const run = await runTube(host, { ...ONE_HOLD, rate: 44_100 });
    expect(view(replay(run.events)).verdict).toBe('pass');
    expect(run.said.filter((said) => calloutOf(run, said) === undefined)).toEqual([]);
    expectTrueEdges(run);
  });

  it('is done by an operator who waits for the voice of the tool, which comes back into the microphone', async () => {
    const run = await runTube(host, {
      ...ONE_HOLD,
      settings: { voice: true, terse: true },
      echo: { levelDb: -28, delay: 60 },
    });
    expect(run.said.filter(({ again }) => again)).toEqual([]);
    expect(view(replay(run.events)).verdict).toBe('pass');
    expectTrueEdges(run);
  });

  const killedAt = drawn('hearing worker')();
  it(`outlives a hearing worker that dies after ${killedAt.toFixed(4)} of it: nothing is lost or heard twice`, async () => {
    const at = Math.round(killedAt * msToSamples(whole.seconds * 1000));
    const run = await runTube(host, { ...ONE_HOLD, kills: [{ at, what: 'hearing' }] });
    expect(judged(run)).toEqual(judged(whole));
    expect(run.said).toEqual(whole.said);
    const callouts = ({ events }: TubeRun): unknown => events.filter(({ type }) => type === 'callout').length;
    expect(callouts(run)).toEqual(callouts(whole));
    expect(run.events.filter(({ type }) => type === 'engine-restarted')).toHaveLength(1);
    expect(await faultsOf(run)).toEqual([]);
  });

  const [closedAt, when] = [drawn('closed page')(), drawn('before or after')() < 0.5 ? 'before' : 'after'] as const;
  it(`goes on after its page was closed ${when} the write at ${closedAt.toFixed(4)} of it, and lets no cut hold count`, async () => {
    // The first write is the start: before it there is no check to go on with.
    const nth = 2 + Math.floor(closedAt * (whole.events.length - 2));
    const run = await runTube(host, {
      ...ONE_HOLD,
      disk: { closes: (write) => (write === nth ? when : undefined) },
      away: 7_000,
    });
    expect(run.pages).toHaveLength(2);
    expect(view(replay(run.events)).verdict).toBe('pass');
    const interrupted = run.events.findIndex(({ type }) => type === 'interrupted');
    expect(run.events.slice(0, interrupted)).toEqual(whole.events.slice(0, when === 'before' ? nth - 1 : nth));
    // The needles that close the hold were called a whole hold after those that opened it, on the clock of the same page.
    const marked = run.said.filter(({ mark }) => mark !== undefined);
    const [before, after] = marked.slice(-2);
    expect([before?.mark, after?.mark]).toEqual(['before', 'after']);
    expect((after?.at ?? 0) - (before?.end ?? 0)).toBeGreaterThanOrEqual(60_000);
    expectTrueEdges(run);
    expect(await faultsOf(run)).toEqual([]);
  });

  it('repeats a hold in which a second of sound was lost, and says so', async () => {
    const run = await runTube(host, { ...ONE_HOLD, gaps: [{ at: msToSamples(60_000), ms: 1000 }] });
    expect(run.events.flatMap((event) => (event.type === 'interrupted' ? [event.why] : []))).toEqual(['sound-lost']);
    const opened = run.said.findLast(({ mark }) => mark === 'before')?.end ?? 0;
    const closed = run.said.findLast(({ mark }) => mark === 'after')?.at ?? 0;
    expect(opened).toBeGreaterThan(61_000);
    expect(closed - opened).toBeGreaterThanOrEqual(60_000);
    expect(view(replay(run.events)).verdict).toBe('pass');
  });

  const refusedFrom = 2 + Math.floor(drawn('refused writes')() * 10);
  it(`loses nothing to a disk that refuses three writes from number ${refusedFrom} on`, async () => {
    const run = await runTube(host, {
      ...ONE_HOLD,
      disk: { refuses: (nth) => nth >= refusedFrom && nth < refusedFrom + 3 },
    });
    expect(run.troubles).toEqual(['disk-lost', 'disk-back']);
    expect(run.events).toEqual(whole.events);
    expect(await faultsOf(run)).toEqual([]);
  });
});
