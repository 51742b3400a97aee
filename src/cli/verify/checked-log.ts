import { spokenCheck, type SpokenCheck } from '../../audit/oddities/spoken-check.ts';
import type { SoundPrint } from '../../hearing/sound-print.ts';
import { printOfWav } from '../../hearing/print-of-wav.ts';
import { placedSeal, type PlacedSeal } from '../../record/device-chain.ts';
import type { FoundLog } from '../../record/find-logs.ts';
import { sealerOf, standingOf, type KnownKey } from '../../record/known-keys.ts';
import { signedAs, signedWords } from '../../record/signed-as.ts';
import { keyName } from '../../record/signer.ts';
import { verifyLog } from '../../record/verify.ts';
import { fromHex } from '../../record/canonical.ts';
import { goodLine, standingLine } from './verify-lines.ts';

/** What is asked of each log. */
export interface Asked {
  readonly keys?: readonly KnownKey[];
  /** Read it for the search for oddities too. */
  readonly oddities: boolean;
}

/** A log that was verified by itself: plain data, so that a worker can tell it. */
export interface CheckedLog {
  readonly where: string;
  /** The check's id, and the digests of header and entries, one after the other; absent when they are none. */
  readonly check: string;
  readonly digests?: Uint8Array<ArrayBuffer>;
  /** What is wrong with it, one sentence each. */
  readonly faults: readonly string[];
  /** Who sealed it, where that is said before anything else. */
  readonly by: string;
  /** Its line when nothing is wrong. */
  readonly good: string;
  /** No list of keys was given. */
  readonly unlisted: boolean;
  /** The key is not in the list that was given. */
  readonly unknown: boolean;
  readonly seal?: PlacedSeal;
  readonly spoken?: SpokenCheck;
}

/** Verifies one log with what is beside it. */
export async function checkLog(found: FoundLog, { keys, oddities }: Asked): Promise<CheckedLog> {
  const { where, log, clips, files } = found;
  const verification = await verifyLog(log, clips, files);
  const faults = verification.faults.map(({ what }) => what);
  const sealer = sealerOf(log.header, keys);
  const { packer } = verification.files;
  if (keys !== undefined && packer !== undefined && standingOf(packer, keys).kind === 'unknown')
    faults.push(`The files beside the log were bound with an unknown key (${await keyName(packer)}).`);
  for (const signed of verification.countersigned) {
    const { officer, by: key } = signed;
    if (keys !== undefined && standingOf(key, keys).kind === 'unknown')
      faults.push(`“Countersigned by ${officer}” was signed with an unknown key (${await keyName(key)}).`);
    const as = signedAs(signed, keys);
    if (as.kind === 'unknown' || as.kind === 'others')
      faults.push(`“Countersigned by ${officer}” was signed ${signedWords(signed, as)}.`);
  }
  const by = await standingLine(log.header.device, sealer);
  const digests = fromHex([log.entries[0]?.previous ?? '', ...log.entries.map(({ digest }) => digest)].join(''));
  const seal = placedSeal(log, verification, where);
  const isWrong = faults.length > 0;
  // A log that is wrong in itself is no measure for others.
  const spoken = oddities && !isWrong ? await spokenCheck(log, (place) => listen(found, place)) : undefined;
  return {
    where,
    check: log.header.check,
    ...(digests === undefined ? {} : { digests }),
    faults,
    by,
    unlisted: sealer.kind === 'unlisted',
    good: isWrong ? '' : await goodLine(found, verification, keys),
    unknown: keys !== undefined && (sealer.kind === 'unknown' || sealer.kind === 'throwaway'),
    ...(seal === undefined || isWrong ? {} : { seal }),
    ...(spoken === undefined ? {} : { spoken }),
  };
}

async function listen({ clips }: FoundLog, place: number): Promise<SoundPrint | undefined> {
  const bytes = await clips.get(place)?.();
  return bytes?.ok === true ? printOfWav(bytes.value) : undefined;
}
