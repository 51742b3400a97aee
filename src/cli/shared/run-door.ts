import process from 'node:process';
import { plainError } from './plain-error.ts';
import { printable, printableLines, type Printer } from './printer.ts';

const UNUSABLE = 2;

/**
 * Runs a command of the terminal: its lines are printed so that no text of a file steers the terminal, whatever it throws is one
 * line and status 2, and a reader that has seen enough (`| head`) is no fault: the status stays that of the work.
 */
export async function runDoor(
  name: string,
  command: (argv: readonly string[], printer: Printer) => Promise<number>,
): Promise<void> {
  let unwritten: string | undefined;
  let readerGone = false;
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') readerGone = true;
    else unwritten ??= plainError(error);
  });
  // Nobody is left to tell.
  process.stderr.on('error', () => undefined);
  const err = (text: string): boolean => process.stderr.write(`${printable(text)}\n`);
  const printer: Printer = {
    out(text) {
      if (!readerGone && unwritten === undefined) process.stdout.write(`${printableLines(text)}\n`);
    },
    err,
  };
  let status: number;
  try {
    status = await command(process.argv.slice(2), printer);
  } catch (error) {
    err(`${name}: ${plainError(error)}`);
    status = UNUSABLE;
  }
  // Written to the end, or found not to be, before the status is given.
  await new Promise<void>((done) => process.stdout.write('', () => done()));
  if (unwritten !== undefined) {
    err(`${name}: the output could not be written: ${unwritten}`);
    status = UNUSABLE;
  }
  process.exitCode = status;
}
