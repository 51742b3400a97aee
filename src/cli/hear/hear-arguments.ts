import type { EngineId } from '../../units/engine.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readOptions } from '../shared/read-options.ts';

/** What `hear` was asked to do. */
export interface HearArguments {
  readonly file: string;
  /** Id of a built-in plan or profile, or a JSON file. */
  readonly plan: string;
  readonly profile: string;
  readonly rig?: string;
  /** Default: what `model` is for; without it our own model, and the embedded engine should that fail. */
  readonly engine?: EngineId;
  /** A model folder (embedded) or archive (vosk) other than the one of the build. */
  readonly model?: string;
  readonly json: boolean;
  /** A folder for the evidence: it must be new or empty, or, with `force`, hold evidence that is replaced. */
  readonly out?: string;
  /** A file that the examiner's sheet is written to; it must be new. */
  readonly sheet?: string;
  /** The file of the key that signs it. */
  readonly key?: string;
  readonly force: boolean;
  /** A public grammar rule: only listen, no check. */
  readonly listen?: string;
}

export const HEAR_USAGE = `usage: npm run -s hear -- FILE [--plan ID|FILE] [--profile ID|FILE] [--rig FILE] [--engine embedded|vosk]
                              [--model PATH] [--json] [--out DIR [--key FILE] [--force]] [--sheet FILE] [--listen RULE]

FILE is a recording (.wav) or a timed transcript (.vtt) of a check. The verdicts are printed as a table, or as JSON.
  Cues of another voice in a transcript (<v helper>) are left out; what goes wrong in them is flagged.
It is heard with the app's own model; --engine embedded takes the other ear, --model another Vosk model.
--out keeps the evidence in a new folder: log, transcript, figures, report. --key signs it with a key that verify --new-key has made;
  without one its seal is only a checksum. --force replaces the evidence of another check.
--sheet writes the examiner's sheet of it as a page to print: each required part, said, done, omitted or out of order.
--listen prints one JSON line per utterance under a grammar rule (readings, cues, anything) and makes no check;
  speech that is none of it has an empty "heard".
Exit status: 0 pass or marginal, 1 fail, 3 incomplete, 2 unusable input.`;

const TRY = 'Try --help.';

export function readHearArguments(argv: readonly string[]): Outcome<HearArguments | 'help'> {
  const read = readOptions(argv, {
    plan: { type: 'string', default: 'full-cab-check' },
    profile: { type: 'string', default: 'fire-practice' },
    rig: { type: 'string' },
    engine: { type: 'string' },
    model: { type: 'string' },
    json: { type: 'boolean', default: false },
    out: { type: 'string' },
    key: { type: 'string' },
    force: { type: 'boolean', default: false },
    sheet: { type: 'string' },
    listen: { type: 'string' },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  if (values.help) return good('help');
  const [file, extra] = positionals;
  if (file === undefined)
    return bad('no file was named.', undefined, `Name a .wav recording or a .vtt transcript. ${TRY}`);
  if (extra !== undefined) return bad(`one file at a time, but “${extra}” came too.`, undefined, TRY);
  const { engine, rig, model, out, key, force, sheet, listen } = values;
  for (const [option, value] of Object.entries({ rig, model, out, key, sheet, listen })) {
    if (value === '') return bad('there is nothing after the option.', `--${option}`, TRY);
  }
  if (out === undefined && (key !== undefined || force))
    return bad('there is nothing to sign or replace.', key === undefined ? '--force' : '--key', 'Add --out DIR.');
  if (sheet !== undefined && listen !== undefined)
    return bad('only a check has a sheet.', '--sheet', 'Leave out --listen or --sheet.');
  if (out !== undefined && listen !== undefined)
    return bad('only a check has evidence to keep.', '--out', 'Leave out --listen or --out.');
  if (engine !== undefined && engine !== 'embedded' && engine !== 'vosk') {
    return bad(`there is no engine “${engine}”.`, '--engine', 'The engines are embedded and vosk.');
  }
  return good({
    file,
    plan: values.plan,
    profile: values.profile,
    json: values.json,
    ...(engine === undefined ? {} : { engine }),
    force,
    ...(key === undefined ? {} : { key }),
    ...(rig === undefined ? {} : { rig }),
    ...(model === undefined ? {} : { model }),
    ...(out === undefined ? {} : { out }),
    ...(sheet === undefined ? {} : { sheet }),
    ...(listen === undefined ? {} : { listen }),
  });
}
