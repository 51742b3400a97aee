import { beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { msToSamples } from '../../src/units/time.ts';
import { drawn, seedOfRun } from '../support/seed.ts';
import { LONE_HOLD } from '../support/tube/bench-rigs.ts';
import { edgesOf } from '../support/tube/edges.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { runTube, type TubeRun } from '../support/tube/tube.ts';

const EDGE_LIMIT = 60;
/** Of the plan: so short that what a needle shows leaves open whether the rate is within its limit. */
const HOLD = 20_000;
const MEASURED = 'marginal';

let host: TubeHost;
let whole: TubeRun;
beforeAll(async () => {
  host = await nodeHost();
  whole = await runTube(host, LONE_HOLD);
});

/** What the log tells, but for what is a worker's own: its clips, and how sure a new one is. */
function toldIn({ events }: TubeRun): unknown {
  return events.flatMap((event): unknown[] => {
    if (event.type === 'engine-restarted') return [];
    if (event.type !== 'callout') return [event];
    const { at, end, heard, meaning } = event;
    return [{ at, end, heard, meaning }];
  });
}

async function faultsOf({ log }: TubeRun): Promise<unknown> {
  return log === undefined ? 'no log' : (await verifyLog(log)).faults;
}

function expectTrueEdges(run: TubeRun): void {
  for (const { text, error } of edgesOf(run)) expect(Math.abs(error), text).toBeLessThanOrEqual(EDGE_LIMIT);
}

describe(`one hold, in a test tube; seed ${seedOfRun()}`, () => {
  const killedAt = drawn('hearing worker')();
  const refusedFrom = 2 + Math.floor(drawn('refused writes')() * 7);
  it(`outlives a hearing worker that dies after ${killedAt.toFixed(4)} of it, and a disk that refuses three writes from number ${refusedFrom} on: nothing is lost or heard twice`, async () => {
    const at = Math.round(killedAt * msToSamples(whole.seconds * 1000));
    const run = await runTube(host, {
      ...LONE_HOLD,
      kills: [{ at, what: 'hearing' }],
      disk: { refuses: (nth) => nth >= refusedFrom && nth < refusedFrom + 3 },
    });
    expect(run.said).toEqual(whole.said);
    expect(toldIn(run)).toEqual(toldIn(whole));
    expect(run.events.filter(({ type }) => type === 'engine-restarted')).toHaveLength(1);
    expect(run.troubles).toEqual(expect.arrayContaining(['disk-lost', 'disk-back']));
    expect(await faultsOf(run)).toEqual([]);
  });

  const [closedAt, when] = [drawn('closed page')(), drawn('before or after')() < 0.5 ? 'before' : 'after'] as const;
  it(`goes on after its page was closed ${when} the write at ${closedAt.toFixed(4)} of it, and lets no cut hold count`, async () => {
    // The first write is the start: before it there is no check to go on with.
    const nth = 2 + Math.floor(closedAt * (whole.events.length - 2));
    const run = await runTube(host, {
      ...LONE_HOLD,
      disk: { closes: (write) => (write === nth ? when : undefined) },
      away: 7_000,
    });
    expect(run.pages).toHaveLength(2);
    expect(view(replay(run.events)).verdict).toBe(MEASURED);
    const interrupted = run.events.findIndex(({ type }) => type === 'interrupted');
    expect(run.events.slice(0, interrupted)).toEqual(whole.events.slice(0, when === 'before' ? nth - 1 : nth));
    // The needles that close the hold were called a whole hold after those that opened it, on the clock of the same page.
    const marked = run.said.filter(({ mark }) => mark !== undefined);
    const [before, after] = marked.slice(-2);
    expect([before?.mark, after?.mark]).toEqual(['before', 'after']);
    expect((after?.at ?? 0) - (before?.end ?? 0)).toBeGreaterThanOrEqual(HOLD);
    expectTrueEdges(run);
    expect(await faultsOf(run)).toEqual([]);
  });

  it('repeats a hold in which a second of sound was lost, and says so', async () => {
    const [first] = whole.said.filter(({ mark }) => mark !== undefined);
    const lostAt = (first?.end ?? NaN) + HOLD / 2;
    const run = await runTube(host, { ...LONE_HOLD, gaps: [{ at: msToSamples(lostAt), ms: 1000 }] });
    expect(run.events.flatMap((event) => (event.type === 'interrupted' ? [event.why] : []))).toEqual(['sound-lost']);
    const opened = run.said.findLast(({ mark }) => mark === 'before')?.end ?? 0;
    const closed = run.said.findLast(({ mark }) => mark === 'after')?.at ?? 0;
    expect(opened).toBeGreaterThan(lostAt + 1000);
    expect(closed - opened).toBeGreaterThanOrEqual(HOLD);
    expect(view(replay(run.events)).verdict).toBe(MEASURED);
  });
});
