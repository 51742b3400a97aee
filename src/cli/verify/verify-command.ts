import { deviceChains, missingText, placedSeal, type DeviceChain, type PlacedSeal } from '../../record/device-chain.ts';
import { fromHex } from '../../record/canonical.ts';
import { findLogs, type FoundLog } from '../../record/find-logs.ts';
import { sealerOf, standingOf, writeKeys, type KnownKey } from '../../record/known-keys.ts';
import { keyWords } from '../../record/key-words.ts';
import { keyName } from '../../record/signer.ts';
import { verifyLog } from '../../record/verify.ts';
import { good, problemLine, type Outcome, type Problem } from '../../units/outcome.ts';
import { checkKeyName, loadKeys, newKeyFile } from '../shared/key-file.ts';
import { isFolder, logOfFolder } from './log-folder.ts';
import { fileSource, openFile } from '../shared/open-file.ts';
import { plainError } from '../shared/plain-error.ts';
import { printable, type Printer } from '../shared/printer.ts';
import { readVerifyArguments, VERIFY_USAGE } from './verify-arguments.ts';
import { goodLine, standingLine, wrongLine } from './verify-lines.ts';

const GOOD = 0;
const WRONG = 1;
const UNUSABLE = 2;

/** The command `verify`: prints a line for each log, and resolves with the exit status. A log that is wrong outweighs an unusable file. */
export async function verifyCommand(argv: readonly string[], printer: Printer): Promise<number> {
  const refuse = (problem: Problem): number => {
    printer.err(printable(`verify: ${problemLine(problem)}`));
    return UNUSABLE;
  };
  const args = readVerifyArguments(argv);
  if (!args.ok) return refuse(args.problem);
  switch (args.value.do) {
    case 'help':
      printer.out(VERIFY_USAGE);
      return GOOD;
    case 'new-key': {
      const made = await makeKey(args.value.file, args.value.name, printer);
      return made.ok ? GOOD : refuse(made.problem);
    }
    case 'verify': {
      const keys = args.value.keys === undefined ? good(undefined) : await loadKeys(args.value.keys);
      return keys.ok ? verifyFiles(args.value.files, keys.value, printer, refuse) : refuse(keys.problem);
    }
  }
}

async function makeKey(file: string, name: string, printer: Printer): Promise<Outcome<void>> {
  const checked = checkKeyName(name);
  if (!checked.ok) return checked;
  try {
    const made = await newKeyFile(file, checked.value);
    printer.out(writeKeys([made]).trimEnd());
    printer.err(printable(`verify: ${file} is the key of “${made.name}”: ${await keyWords(made.key)}`));
    return good(undefined);
  } catch (error) {
    return { ok: false, problem: { what: plainError(error), where: file } };
  }
}

async function verifyFiles(
  files: readonly string[],
  keys: readonly KnownKey[] | undefined,
  printer: Printer,
  refuse: (problem: Problem) => number,
): Promise<number> {
  let status = GOOD;
  const unusable = (problem: Problem): void => {
    refuse(problem);
    if (status === GOOD) status = UNUSABLE;
  };
  const seen = new SeenLogs();
  const seals: PlacedSeal[] = [];
  for (const file of files) {
    try {
      for await (const found of logsIn(file)) {
        if (!found.ok) unusable(found.problem);
        else if (!(await verifyOne(found.value, keys, seen, seals, printer))) status = WRONG;
      }
    } catch (error) {
      unusable({ what: plainError(error), where: file });
    }
  }
  for (const chain of deviceChains(seals)) {
    if (!(await tellChain(chain, keys, printer))) status = WRONG;
  }
  return status;
}

/** The logs of a file, or the one of a folder that `hear --out` has written. */
async function* logsIn(file: string): AsyncGenerator<Outcome<FoundLog>> {
  if (await isFolder(file)) {
    yield await logOfFolder(file);
    return;
  }
  const handle = await openFile(file);
  if (!handle.ok) {
    yield handle;
    return;
  }
  try {
    for await (const { found } of findLogs(await fileSource(handle.value), file, () => Promise.resolve())) yield found;
  } finally {
    await handle.value.close();
  }
}

/** Prints the line of a log; false when something is wrong with it. */
async function verifyOne(
  found: FoundLog,
  keys: readonly KnownKey[] | undefined,
  seen: SeenLogs,
  seals: PlacedSeal[],
  printer: Printer,
): Promise<boolean> {
  const { where, log, clips, files } = found;
  const verification = await verifyLog(log, clips, files);
  const faults = verification.faults.map(({ what }) => what);
  const sealer = sealerOf(log.header, keys);
  const { packer } = verification.files;
  if (keys !== undefined && packer !== undefined && standingOf(packer, keys).kind === 'unknown')
    faults.push(`The files beside the log were bound with an unknown key (${await keyName(packer)}).`);
  for (const { officer, by: key } of verification.countersigned) {
    if (keys !== undefined && standingOf(key, keys).kind === 'unknown')
      faults.push(`“Countersigned by ${officer}” was signed with an unknown key (${await keyName(key)}).`);
  }
  // A log that is wrong in itself is no measure for others.
  const wrong = faults.length > 0 ? faults : seen.conflicts(found);
  const by = await standingLine(log.header.device, sealer);
  if (wrong.length === 0) printer.out(printable(`${where}: ${by}${await goodLine(found, verification, keys)}`));
  else printer.out(printable(`${where}: ${sealer.kind === 'unlisted' ? '' : by}${wrongLine(wrong)}`));
  const seal = placedSeal(log, verification, where);
  if (wrong.length === 0 && seal !== undefined) seals.push(seal);
  const unknown = keys !== undefined && (sealer.kind === 'unknown' || sealer.kind === 'throwaway');
  return wrong.length === 0 && !unknown;
}

/** Says what the seals of one device show of each other; false when they contradict each other. */
async function tellChain(
  { key, checks, highest, missing, faults }: DeviceChain,
  keys: readonly KnownKey[] | undefined,
  printer: Printer,
): Promise<boolean> {
  const standing = standingOf(key, keys);
  const device = standing.kind === 'known' ? standing.name : `the key ${await keyName(key)}`;
  for (const fault of faults) printer.out(printable(`WRONG: ${fault}`));
  if (missing.length > 0 && checks > 1)
    printer.out(
      printable(`Of ${device}, ${checks} of its first ${highest} checks are here; not here: ${missingText(missing)}.`),
    );
  return faults.length === 0;
}

/** The digests of the logs that were given, to find two with one id. */
class SeenLogs {
  readonly #seen = new Map<string, { readonly where: string; readonly digests: Uint8Array }>();

  /** Whether a log was given before under the same id, with other contents. Its own digests have to be right. */
  conflicts({ log, where }: FoundLog): string[] {
    const { check } = log.header;
    const digests = fromHex([log.entries[0]?.previous ?? '', ...log.entries.map(({ digest }) => digest)].join(''));
    const before = this.#seen.get(check);
    if (digests === undefined) return [];
    if (before === undefined) {
      this.#seen.set(check, { where, digests });
      return [];
    }
    const at = before.digests.findIndex((byte, place) => place < digests.length && byte !== digests[place]);
    if (at < 0) return [];
    const entry = Math.max(0, Math.floor(at / 32) - 1);
    return [`Has the id of the log in ${before.where}, but differs from it from entry ${entry} on.`];
  }
}
