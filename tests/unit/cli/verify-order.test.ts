import { describe, expect, it } from 'vitest';
import { inOrder } from '../../../src/cli/verify/parallel-files.ts';
import type { CheckedPlace, Checked } from '../../../src/cli/verify/checked-files.ts';
import type { Told } from '../../../src/cli/verify/verify-worker.ts';

const found = (what: string): Checked => ({ problem: { what } });
const place = (at: number, ...what: string[]): CheckedPlace => ({ at, checked: what.map(found) });

/** A worker that has told everything already. */
function worker(...told: Told[]): { next(): Promise<Told> } {
  return { next: () => Promise.resolve(told.shift() ?? 'done') };
}

async function order(files: number, ...workers: { next(): Promise<Told> }[]): Promise<string[]> {
  const lines: string[] = [];
  for await (const checked of inOrder(files, workers)) if ('problem' in checked) lines.push(checked.problem.what);
  return lines;
}

describe('what several workers found', () => {
  it('is told in the order of the files, and of the places in each', async () => {
    const one = worker(place(0, 'a0'), place(2, 'a2', 'a2 too'), 'done', place(1, 'b1'), 'done');
    const other = worker(place(1, 'a1'), place(3, 'a3'), 'done', place(0, 'b0'), 'done');
    expect(await order(2, one, other)).toEqual(['a0', 'a1', 'a2', 'a2 too', 'a3', 'b0', 'b1']);
  });

  it('says once that a file broke off, and goes on with the next', async () => {
    const broken = place(Infinity, 'became shorter');
    const [one, other] = [
      worker(place(0, 'a0'), broken, 'done', place(0, 'b0'), 'done'),
      worker(broken, 'done', 'done'),
    ];
    expect(await order(2, one, other)).toEqual(['a0', 'became shorter', 'b0']);
  });
});
