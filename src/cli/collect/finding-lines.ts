import { missingText } from '../../record/device-chain.ts';
import { keyWords } from '../../record/key-words.ts';
import { standingOf, type KnownKey } from '../../record/known-keys.ts';
import type { PublicKey } from '../../record/log.ts';
import { keyName } from '../../record/signer.ts';
import type { Finding } from '../../shelf/finding.ts';

/** What is said of a finding; undefined where it is only counted. */
export async function findingLine(finding: Finding, known: readonly KnownKey[]): Promise<string | undefined> {
  const name = (key: PublicKey): Promise<string> => deviceName(key, known);
  switch (finding.kind) {
    case 'kept':
    case 'retired':
      return undefined;
    case 'wrong':
      return `WRONG: ${finding.name}: ${finding.why}`;
    case 'missing':
      return `MISSING: number ${finding.number} of ${await name(finding.device)}, sealed ${finding.wall}: its head is on the shelf, the check is not${finding.here ? ' any more; it is in the folder' : ''}.`;
    case 'head-gone':
      return `GONE: ${finding.name} was on the shelf, and is not any more; it is in the folder.`;
    case 'gap':
      return `MISSING: of ${await name(finding.device)} there is neither check nor head of number ${missingText(finding.missing)}, though there are later ones.`;
    case 'beside':
      return `BESIDE: ${finding.name} is signed, and is kept, but is not in the log of a check: others have signed more at the same time, or the check is not here. Read it.`;
    case 'headless':
      return `${finding.name} is whole, but its head is not there (yet).`;
    case 'contradiction':
      return `WRONG: of ${await name(finding.device)}: ${finding.why}`;
    case 'newest':
      return `${await name(finding.device)} (${finding.station}): the newest is number ${finding.number} of ${finding.day}; whether there is a newer one cannot be seen.`;
    case 'stray':
      return `NOT OURS: ${finding.name} is nothing that this program puts there; it was not read.`;
    case 'broke-off':
      return undefined;
  }
}

/** How many checks are gone by whose word. */
export async function retiredLines(found: readonly Finding[], known: readonly KnownKey[]): Promise<readonly string[]> {
  const counts = new Map<string, number>();
  for (const finding of found) {
    if (finding.kind !== 'retired') continue;
    const { key, before, wall } = finding.by;
    const by = `by the word of ${await deviceName(key, known)} (${wall}: all before ${before})`;
    counts.set(by, (counts.get(by) ?? 0) + 1);
  }
  return [...counts].map(([by, count]) => `${count} checks are deleted ${by}; their heads are there.`);
}

/** What counts as wrong. */
export function isWrong({ kind }: Finding): boolean {
  return ['wrong', 'missing', 'head-gone', 'gap', 'contradiction', 'stray'].includes(kind);
}

async function deviceName(key: PublicKey, known: readonly KnownKey[]): Promise<string> {
  const standing = standingOf(key, known);
  if (standing.kind === 'known') return standing.name;
  return `the UNKNOWN KEY ${await keyName(key)} (${await keyWords(key)})`;
}
