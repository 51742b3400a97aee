import { isDay } from '../../shelf/names.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readOptions } from '../shared/read-options.ts';

/** What `collect` was asked to do. */
export type CollectArguments = { readonly do: 'help' } | CollectTask | RetireTask;

export interface CollectTask {
  readonly do: 'collect';
  readonly shelf: string;
  /** The first day, YYYY-MM-DD. */
  readonly since: string;
  readonly out: string;
  readonly keys?: string;
  readonly clips: boolean;
  readonly again: boolean;
  readonly index: boolean;
}

export interface RetireTask {
  readonly do: 'retire';
  readonly shelf: string;
  /** Days, or the first day that stays. */
  readonly olderThan: string;
  readonly keys?: string;
  /** Deletes; else it only says what would be. */
  readonly remove?: { readonly key: string };
}

export const COLLECT_USAGE = `usage: npm run -s collect -- SHELF --since DATE --out DIR [--keys FILE] [--clips] [--again] [--index]
       npm run -s collect -- SHELF --older-than DAYS|DATE [--keys FILE] [--delete --key FILE]

Takes the checks of a district's shelf (SHELF is a shelf file) into a folder, and says what does not verify or is missing. Only what is
not in the folder yet is fetched. --since is the first day of checks, YYYY-MM-DD. --keys names a list of known keys besides those in the shelf
file. --clips fetches the sounds, too. --again fetches and verifies everything again, for a store that may have changed what is here already.
--index writes the index of each month anew, which the Logs screen reads faster by and nobody trusts.
--older-than says which checks, remarks and sounds of older days would be deleted; with --delete they are, after a word of it that is signed with
--key (made by verify --new-key, and known). Heads stay, so that the chain of each device can be checked for ever.
Exit status: 0 when nothing is wrong, 1 when something is wrong, missing or by an unknown key, 2 when the shelf or a file cannot be used.`;

const TRY = 'Try --help.';

export function readCollectArguments(argv: readonly string[]): Outcome<CollectArguments> {
  const read = readOptions(argv, {
    since: { type: 'string' },
    out: { type: 'string' },
    keys: { type: 'string' },
    clips: { type: 'boolean', default: false },
    again: { type: 'boolean', default: false },
    index: { type: 'boolean', default: false },
    'older-than': { type: 'string' },
    delete: { type: 'boolean', default: false },
    key: { type: 'string' },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  if (values.help) return good({ do: 'help' });
  const [shelf, ...more] = positionals;
  if (shelf === undefined || more.length > 0) return bad('name one shelf file.', undefined, TRY);
  const { since, out, keys: list, clips, again, index, key } = values;
  const keys = list === undefined ? {} : { keys: list };
  const olderThan = values['older-than'];
  if (olderThan !== undefined) {
    if (since !== undefined || out !== undefined || clips || again || index)
      return bad('deleting is done alone.', '--older-than', TRY);
    if (!isDate(olderThan) && !/^\d{1,5}$/.test(olderThan))
      return bad(
        `“${olderThan}” is neither a number of days nor a date.`,
        '--older-than',
        'For example 730, or 2026-01-01.',
      );
    if (!values.delete) return good({ do: 'retire', shelf, olderThan, ...keys });
    if (key === undefined)
      return bad('what is deleted has to be signed for.', '--delete', 'Add --key FILE, a key that is known.');
    return good({ do: 'retire', shelf, olderThan, ...keys, remove: { key } });
  }
  if (values.delete || key !== undefined) return bad('only what is older than something is deleted.', '--delete', TRY);
  if (since === undefined || !isDate(since))
    return bad(
      since === undefined ? 'the first day is missing.' : `“${since}” is no date.`,
      '--since',
      'For example 2026-05-01.',
    );
  if (out === undefined || out === '') return bad('the folder is missing.', '--out', 'Name where the checks go.');
  return good({ do: 'collect', shelf, since, out, clips, again, index, ...keys });
}

function isDate(text: string): boolean {
  return isDay(text) && !Number.isNaN(Date.parse(text));
}
