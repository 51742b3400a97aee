import packageJson from '../../../package.json' with { type: 'json' };
import type { CheckEvent } from '../../check/event.ts';
import { newHeader, sealedLog } from '../../record/chain.ts';
import { checkFiles } from '../../record/export.ts';
import type { SealPlace } from '../../record/seal-chain.ts';
import { throwawaySigner, type Signer } from '../../record/signer.ts';
import { bad, type Outcome } from '../../units/outcome.ts';
import type { EvidenceFolder } from './evidence-folder.ts';
import { openKeyFile } from '../shared/key-file.ts';
import { lock } from './lock.ts';
import { plainError } from '../shared/plain-error.ts';

/** How long another program may take to seal with the same key, in ms. */
const PATIENCE_MS = 30_000;

/** Seals a check and puts its evidence into a folder, signed with the key of a file, or with one that is thrown away. */
export async function keepEvidence(
  events: readonly CheckEvent[],
  folder: EvidenceFolder,
  keyFile: string | undefined,
): Promise<Outcome<void>> {
  if (keyFile === undefined) return put(events, folder, await throwawaySigner(), undefined, () => Promise.resolve());
  try {
    const held = await lock(keyFile, PATIENCE_MS);
    if (!held.ok) return held;
    try {
      const key = await openKeyFile(keyFile);
      if (!key.ok) return key;
      const { signer, last } = key.value;
      return await put(events, folder, signer, last, (now) => key.value.keep(now));
    } finally {
      await held.value.release();
    }
  } catch (error) {
    return bad(`the evidence is not kept, for its number cannot be: ${plainError(error)}`, keyFile);
  }
}

async function put(
  events: readonly CheckEvent[],
  folder: EvidenceFolder,
  signer: Signer,
  last: SealPlace | undefined,
  keep: (last: SealPlace) => Promise<void>,
): Promise<Outcome<void>> {
  const wall = new Date().toISOString();
  const header = newHeader(crypto.randomUUID(), wall, `Two Needles ${packageJson.version}`, signer);
  const log = await sealedLog(header, events, wall, signer, last);
  const files = await checkFiles(log, { signer, wall, known: [] });
  // The number first: killed in between, it is missing; the other way round, two checks would have it.
  await keep({ number: (last?.number ?? 0) + 1, digest: log.end.head });
  const written = await folder.write(files);
  if (written.ok || last === undefined) return written;
  // The number was not used after all.
  await keep(last).catch(() => undefined);
  return written;
}
