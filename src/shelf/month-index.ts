import * as v from 'valibot';
import { headOfLog } from '../record/judged.ts';
import type { LogFile } from '../record/log.ts';
import { thumbprint } from '../record/signer.ts';
import { dayOf } from './names.ts';
import { sealOf } from './objects.ts';

const FORMAT = 'two-needles-index';

/** A check as a list shows it before it is fetched. Nobody vouches for it. */
const row = v.object({
  digest: v.string(),
  /** Its id. */
  check: v.string(),
  day: v.string(),
  device: v.string(),
  number: v.number(),
  rig: v.string(),
  plan: v.string(),
  verdict: v.string(),
});
export type IndexRow = v.InferOutput<typeof row>;

const file = v.object({ format: v.literal(FORMAT), version: v.literal(1), rows: v.array(row) });

export function indexName(station: string, month: string): string {
  return `${station}/index/${month}.json`;
}

/** What an index says of a check; undefined for one that has no place on a shelf. */
export async function indexRow(log: LogFile): Promise<IndexRow | undefined> {
  const seal = sealOf(log);
  const head = headOfLog(log);
  if (seal === undefined || head === undefined) return undefined;
  const { rigName: rig, planTitle: plan, verdict = 'incomplete' } = head;
  const { number = 0, wall } = seal.event;
  return {
    digest: seal.digest,
    check: log.header.check,
    day: dayOf(wall),
    device: await thumbprint(log.header.device),
    number,
    rig,
    plan,
    verdict,
  };
}

export function writeIndex(rows: readonly IndexRow[]): Uint8Array<ArrayBuffer> {
  const sorted = rows.toSorted((a, b) => a.day.localeCompare(b.day) || (a.digest < b.digest ? -1 : 1));
  return new TextEncoder().encode(`${JSON.stringify({ format: FORMAT, version: 1, rows: sorted })}\n`);
}

/** The rows of an index; none of anything else, since it can be made again and nothing rests on it. */
export function readIndex(bytes: Uint8Array<ArrayBuffer>): readonly IndexRow[] {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), file), new TextDecoder().decode(bytes));
  return parsed.success ? parsed.output.rows : [];
}
