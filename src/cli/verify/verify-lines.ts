import { FALSE_ALARMS, oddityLine, type OddityReport } from '../../audit/oddities/oddities.ts';
import type { FoundLog } from '../../record/find-logs.ts';
import { keyWords } from '../../record/key-words.ts';
import { standingOf, type KnownKey, type Standing } from '../../record/known-keys.ts';
import { UNCHAINED_VERSION, type PublicKey } from '../../record/log.ts';
import { signedAs, signedWords } from '../../record/signed-as.ts';
import { keyName, sameKey } from '../../record/signer.ts';
import type { Verification } from '../../record/verify.ts';

/** Who sealed a log, where that has to be said before anything else. */
export async function standingLine(key: PublicKey, standing: Standing): Promise<string> {
  switch (standing.kind) {
    case 'own':
    case 'known':
      return '';
    case 'throwaway':
      return 'ONLY A CHECKSUM, its key was thrown away, so who made it is not known; ';
    case 'unknown':
      return `UNKNOWN KEY ${await keyName(key)} (${await keyWords(key)}), who made it is not known; `;
    case 'unlisted':
      return 'KEY NOT COMPARED (no --keys); ';
  }
}

/** What is to be said of a log with which nothing is wrong. */
export async function goodLine(
  { log }: FoundLog,
  verification: Verification,
  keys: readonly KnownKey[] | undefined,
): Promise<string> {
  const { device, countersigned, clips, files, seal } = verification;
  const start = log.entries[0]?.event;
  const check = start?.type === 'start' ? `${start.rig.name}, ${start.wall}` : log.header.check;
  const sealer = standingOf(log.header.device, keys);
  const officers = countersigned.map((signed) => {
    const { officer, by, key } = signed;
    const known = standingOf(by, keys);
    const name = known.kind === 'known' ? ` (${known.name})` : known.kind === 'unknown' ? ' (UNKNOWN)' : '';
    return `countersigned by ${officer} ${signedWords(signed, signedAs(signed, keys))} on the device with key ${key}${name}`;
  });
  return [
    `nothing is wrong. ${check}`,
    `verdict ${verification.verdict ?? 'incomplete'}`,
    `${log.entries.length} entries`,
    ...(clips.sound > 0 ? [`${clips.sound} clips`] : []),
    ...(clips.photos > 0 ? [`${clips.photos} ${clips.photos === 1 ? 'photo' : 'photos'}`] : []),
    ...(clips.gone > 0 ? [`${clips.gone} clips or photos not there`] : []),
    ...(files.bound.length > 0 ? [`${files.bound.join(' and ')} as sealed`] : []),
    ...(files.gone.length > 0 ? [`without ${files.gone.join(' and ')}`] : []),
    ...(files.loose.length > 0 ? [`${files.loose.join(' and ')} bound by nothing`] : []),
    ...(log.header.version === UNCHAINED_VERSION
      ? [`format version ${UNCHAINED_VERSION} (not chained to other checks)`]
      : []),
    `sealed with key ${device}${sealer.kind === 'known' ? ` (${sealer.name})` : ''}`,
    ...(seal === undefined || log.header.throwaway === true ? [] : [`number ${seal.number} of its device`]),
    ...officers,
    ...(await exporter(log.header.device, files.packer, keys)),
  ].join(', ');
}

/** Who bound the files beside the log, when that was another than who sealed it. */
async function exporter(
  device: PublicKey,
  packer: PublicKey | undefined,
  keys: readonly KnownKey[] | undefined,
): Promise<string[]> {
  if (packer === undefined || sameKey(packer, device)) return [];
  const standing = standingOf(packer, keys);
  if (standing.kind === 'known') return [`exported by ${standing.name}`];
  return [`the files beside it bound with ANOTHER key ${await keyName(packer)}, not compared`];
}

export function wrongLine([first = '', ...more]: readonly string[]): string {
  return `WRONG: ${first}${more.length === 0 ? '' : ` (${more.length} more)`}`;
}

/** What the search for oddities found, and what it looked at. */
export function oddityLines({ oddities, asked, groups, notAsked }: OddityReport): string[] {
  const of = `${groups} ${groups === 1 ? 'operator on a rig' : 'operators on rigs'}`;
  const sum = `Oddities: ${oddities.length} (${asked} questions asked of ${of}; honest checks give any in at most ${100 * FALSE_ALARMS} of 100 audits; an oddity is no proof of anything).`;
  const unasked = notAsked.map(
    ({ kind, why, groups: some }) => `Not asked (${kind}), of ${some} of ${groups}: ${why}.`,
  );
  return [...oddities.map((oddity) => `ODD: ${oddityLine(oddity)}`), sum, ...unasked];
}
