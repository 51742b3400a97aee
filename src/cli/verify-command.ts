import { differsAt } from '../record/compare.ts';
import { findLogs, type FoundLog } from '../record/find-logs.ts';
import { verifyLog, type Verification } from '../record/verify.ts';
import { problemLine, type Problem } from '../units/outcome.ts';
import type { Printer } from './hear-command.ts';
import { readBytes } from './read-inputs.ts';

const USAGE = `Usage: npm run -s verify -- FILE…
Checks exported logs: the zip of a check, a zip of many, or a log as JSON. One line for each log.
Exit status: 0 when nothing is wrong, 1 when something is wrong with a log, 2 when a file cannot be used.`;

const GOOD = 0;
const WRONG = 1;
const UNUSABLE = 2;

/** The command `verify`: prints a line for each log, and resolves with the exit status. A log that is wrong outweighs an unusable file. */
export async function verifyCommand(argv: readonly string[], printer: Printer): Promise<number> {
  if (argv.includes('--help')) {
    printer.out(USAGE);
    return GOOD;
  }
  if (argv.length === 0) {
    printer.err(USAGE);
    return UNUSABLE;
  }
  let status = GOOD;
  const refuse = (problem: Problem): void => {
    printer.err(printable(`verify: ${problemLine(problem)}`));
    if (status === GOOD) status = UNUSABLE;
  };
  const seen = new Map<string, FoundLog>();
  for (const file of argv) {
    const bytes = await readBytes(file);
    if (!bytes.ok) {
      refuse(bytes.problem);
      continue;
    }
    for await (const { found } of findLogs(new Blob([new Uint8Array(bytes.value)]), file, () => Promise.resolve())) {
      if (!found.ok) {
        refuse(found.problem);
        continue;
      }
      const { where, log, clips } = found.value;
      const verification = await verifyLog(log, clips);
      const faults = verification.faults.map(({ what }) => what);
      // A log that is wrong in itself is no measure for others.
      const wrong = faults.length > 0 ? faults : await conflicts(found.value, seen);
      if (wrong.length > 0) status = WRONG;
      printer.out(
        printable(`${where}: ${wrong.length === 0 ? goodLine(found.value, verification) : wrongLine(wrong)}`),
      );
    }
  }
  return status;
}

/** Whether a log was given before under the same id, with other contents. */
async function conflicts(found: FoundLog, seen: Map<string, FoundLog>): Promise<string[]> {
  const { check } = found.log.header;
  const before = seen.get(check);
  if (before === undefined) {
    seen.set(check, found);
    return [];
  }
  const at = await differsAt(before.log, found.log);
  return at === undefined ? [] : [`Has the id of the log in ${before.where}, but differs from it from entry ${at} on.`];
}

function goodLine({ log }: FoundLog, { device, countersigned, clips }: Verification): string {
  const start = log.entries[0]?.event;
  const check = start?.type === 'start' ? `${start.rig.name}, ${start.wall}` : log.header.check;
  const sound = [clips.sound > 0 ? `${clips.sound} clips` : '', clips.gone > 0 ? `${clips.gone} clips not there` : ''];
  return [
    `nothing is wrong. ${check}`,
    `${log.entries.length} entries`,
    ...sound.filter((part) => part !== ''),
    `sealed with key ${device}`,
    ...countersigned.map(({ officer, key }) => `countersigned by ${officer} with key ${key}`),
  ].join(', ');
}

function wrongLine([first = '', ...more]: readonly string[]): string {
  return `WRONG: ${first}${more.length === 0 ? '' : ` (${more.length} more)`}`;
}

/** Text from a file must not steer the terminal. */
function printable(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}]/gu, '\ufffd');
}
