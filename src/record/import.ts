import { problemLine } from '../units/outcome.ts';
import type { ChainedStore } from './chained-store.ts';
import { findLogs, type FoundLog } from './find-logs.ts';
import { officersOf } from './head-lines.ts';
import { headOfLog } from './judged.ts';
import { sealerOf, type Standing } from './known-keys.ts';
import { keptAs, namedClip } from './named-clip.ts';
import { breather, type Work } from './pace.ts';
import type { CheckHead, Clip } from './record-store.ts';
import { isFull } from './record-store.ts';
import { verifyLog, type Verification } from './verify.ts';

/** What became of one log, or of one file that holds none. */
export interface Imported {
  readonly outcome: 'added' | 'extended' | 'known' | 'conflict' | 'refused';
  /** The file, and the place in it. */
  readonly where: string;
  /** One plain sentence. */
  readonly line: string;
  readonly check?: string;
  /** Present when the log could be read; a log with faults is kept, with a warning. */
  readonly verification?: Verification;
  /** What this device knows of the key that sealed it; present when the log could be read. */
  readonly sealer?: Standing;
}

export interface ImportReport {
  readonly logs: readonly Imported[];
  /** The work was stopped; what had been taken in until then is kept. */
  readonly stopped: boolean;
}

/**
 * Takes in the logs of exported files. Each is verified and either kept whole or not at all; a log that is here already is
 * not kept twice, and nothing that is here is ever changed but by entries that go on where it ends.
 */
export async function importChecks(
  files: readonly { readonly name: string; readonly file: Blob }[],
  store: ChainedStore,
  work: Work = {},
): Promise<ImportReport> {
  const breathe = breather(work);
  const logs: Imported[] = [];
  // Without storage nothing is known of keys; that it fails is told with the first log.
  const packing = await store.packing().catch(() => undefined);
  try {
    for (const [at, { name, file }] of files.entries()) {
      for await (const { found, done } of findLogs(file, name, breathe)) {
        if (found.ok) {
          const sealer = sealerOf(found.value.log.header, packing?.known, packing?.signer.publicKey);
          logs.push({ ...(await takeIn(found.value, store)), sealer });
        } else logs.push({ outcome: 'refused', where: name, line: problemLine(found.problem) });
        work.onProgress?.((at + done) / files.length);
        await breathe();
      }
    }
  } catch (error) {
    if (work.signal?.aborted === true) return { logs, stopped: true };
    throw error;
  }
  return { logs, stopped: false };
}

async function takeIn({ where, log, clips, files }: FoundLog, store: ChainedStore): Promise<Imported> {
  const check = log.header.check;
  const verification = await verifyLog(log, clips, files);
  const head = headOfLog(log);
  if (head === undefined)
    return { outcome: 'refused', where, line: `${where}: The log has no start of a check.`, check, verification };
  const fault = verification.faults[0];
  const verified = verification.countersigned.flatMap(({ entry }) => log.entries[entry]?.event ?? []);
  const { countersigned = [], nameOnly = false } = officersOf(verified);
  const marked: CheckHead = {
    ...head,
    ...(fault === undefined ? {} : { trouble: fault.what }),
    ...(countersigned.length === 0 ? {} : { countersigned, nameOnly }),
  };
  const spoilt = new Set(verification.faults.flatMap(({ kind, entry }) => (kind === 'clip' ? [entry] : [])));
  const sounds: Clip[] = [];
  for (const [place, contents] of clips) {
    const named = namedClip(log.entries[place]?.event);
    if (spoilt.has(place) || named === undefined) continue;
    // An id that is taken belongs to another check's clip, or to the same.
    if ((await store.clip(named.id)) !== undefined || sounds.some(({ id }) => id === named.id)) continue;
    const bytes = await contents();
    if (!bytes.ok) continue;
    const wav = new Blob([bytes.value], { type: named.type });
    sounds.push({ id: named.id, check, kept: keptAs(named.kind, Date.parse(head.startedAt) || 0), wav });
  }
  const result = await store.takeIn(marked, log, sounds).catch((error: unknown) => {
    if (isFull(error)) return sounds.length === 0 ? 'full' : store.takeIn(marked, log, []).catch(() => 'full' as const);
    throw error;
  });
  const name = `${head.rigName}, ${head.startedAt}`;
  const base = { where, check, verification };
  if (result === 'full')
    return {
      ...base,
      outcome: 'refused',
      line: `${name}: there is no room left for this log. Free some space, then import it again.`,
    };
  if (typeof result === 'number') {
    return {
      ...base,
      outcome: 'conflict',
      line: `${name}: differs from the log of the same id that is here, from entry ${result} on. The one here was left as it is.`,
    };
  }
  const said = {
    added: 'added',
    extended: 'goes on where the log here ended; the rest was added',
    known: 'is here already',
  }[result];
  return {
    ...base,
    outcome: result,
    line: `${name}: ${said}.${fault === undefined ? '' : ` It does not verify: ${fault.what}`}`,
  };
}
