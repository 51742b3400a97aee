import { findOddities } from '../../audit/oddities/oddities.ts';
import type { SpokenCheck } from '../../audit/oddities/spoken-check.ts';
import { deviceChains, missingText, type DeviceChain, type PlacedSeal } from '../../record/device-chain.ts';
import { standingOf, writeKeys, type KnownKey } from '../../record/known-keys.ts';
import { keyWords } from '../../record/key-words.ts';
import { keyName } from '../../record/signer.ts';
import { good, problemLine, type Outcome, type Problem } from '../../units/outcome.ts';
import { checkKeyName, loadKeys, newKeyFile } from '../shared/key-file.ts';
import { plainError } from '../shared/plain-error.ts';
import { printable, type Printer } from '../shared/printer.ts';
import type { CheckedLog } from './checked-log.ts';
import { checkFiles } from './parallel-files.ts';
import { readVerifyArguments, VERIFY_USAGE, type VerifyFiles } from './verify-arguments.ts';
import { oddityLines, wrongLine } from './verify-lines.ts';

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
      return keys.ok ? verifyFiles(args.value, keys.value, printer, refuse) : refuse(keys.problem);
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
  { files, oddities }: VerifyFiles,
  keys: readonly KnownKey[] | undefined,
  printer: Printer,
  refuse: (problem: Problem) => number,
): Promise<number> {
  let status = GOOD;
  const seen = new SeenLogs();
  const seals: PlacedSeal[] = [];
  const spoken: SpokenCheck[] = [];
  for await (const checked of checkFiles(files, { oddities, ...(keys === undefined ? {} : { keys }) })) {
    if ('problem' in checked) {
      refuse(checked.problem);
      if (status === GOOD) status = UNUSABLE;
      continue;
    }
    const { log } = checked;
    const { where, unknown, unlisted, seal } = log;
    const wrong = log.faults.length > 0 ? log.faults : seen.conflicts(log);
    const by = wrong.length > 0 && unlisted ? '' : log.by;
    printer.out(printable(`${where}: ${by}${wrong.length === 0 ? log.good : wrongLine(wrong)}`));
    if (wrong.length > 0 || unknown) status = WRONG;
    if (wrong.length > 0) continue;
    if (seal !== undefined) seals.push(seal);
    if (log.spoken !== undefined) spoken.push(log.spoken);
  }
  for (const chain of deviceChains(seals)) {
    if (!(await tellChain(chain, keys, printer))) status = WRONG;
  }
  // Odd is not wrong: the status stays.
  if (spoken.length > 0)
    for (const line of oddityLines(await findOddities(onceEach(spoken)))) printer.out(printable(line));
  return status;
}

/** A check that was given twice repeats itself. */
function onceEach(checks: readonly SpokenCheck[]): readonly SpokenCheck[] {
  return [...new Map(checks.map((check) => [check.id, check])).values()];
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
  conflicts({ where, check, digests }: CheckedLog): string[] {
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
