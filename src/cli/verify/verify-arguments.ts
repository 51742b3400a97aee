import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readOptions } from '../shared/read-options.ts';

/** What `verify` was asked to do. */
export type VerifyArguments =
  | { readonly do: 'help' }
  | { readonly do: 'new-key'; readonly file: string; readonly name: string }
  | VerifyFiles;

export interface VerifyFiles {
  readonly do: 'verify';
  readonly files: readonly string[];
  readonly keys?: string;
  /** Look for what honest checks do not have. */
  readonly oddities: boolean;
}

export const VERIFY_USAGE = `usage: npm run -s verify -- FILE… [--keys FILE] [--oddities]
       npm run -s verify -- --new-key FILE --name NAME > KEYS

Checks exported logs: the zip of a check, a zip of many, the folder of hear --out, or a log as JSON. One line for each log: who sealed it, what is wrong with it,
its rig, date and verdict. --keys names a list of known keys (exported under Logs): a log by another key is told and counts as wrong.
--oddities looks through all of them for what honest checks hardly ever have (digits, repeats, sounds), and says how often they do;
an oddity is no proof, and leaves the status as it is.
--new-key makes a key for hear --key, and prints the list of known keys with it.
Exit status: 0 when nothing is wrong, 1 when something is wrong with a log, 2 when a file cannot be used.`;

const TRY = 'Try --help.';

export function readVerifyArguments(argv: readonly string[]): Outcome<VerifyArguments> {
  const read = readOptions(argv, {
    keys: { type: 'string' },
    'new-key': { type: 'string' },
    name: { type: 'string' },
    oddities: { type: 'boolean', default: false },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  const { keys, name, oddities } = values;
  const file = values['new-key'];
  if (values.help) return good({ do: 'help' });
  if (file !== undefined) {
    if (file === '') return bad('the name of the file is empty.', '--new-key', TRY);
    if (keys !== undefined || oddities || positionals.length > 0) return bad('a key is made alone.', '--new-key', TRY);
    if (name === undefined) return bad('a key needs a name.', '--new-key', 'Add --name NAME: the device or the desk.');
    return good({ do: 'new-key', file, name });
  }
  if (name !== undefined) return bad('only a new key is named.', '--name', TRY);
  if (keys === '') return bad('the name of the file is empty.', '--keys', TRY);
  if (positionals.length === 0) return bad('no file was named.', undefined, `Name exported logs. ${TRY}`);
  return good({ do: 'verify', files: positionals, oddities, ...(keys === undefined ? {} : { keys }) });
}
