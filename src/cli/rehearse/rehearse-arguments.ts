import type { LevelId } from '../../rehearsal/level.ts';
import { LEVELS } from '../../rehearsal/level.ts';
import type { Omission } from '../../rehearsal/omission.ts';
import { isOmission, OMISSIONS } from '../../rehearsal/omission.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readOptions } from '../shared/read-options.ts';

/** What `rehearse` was asked to do. */
export interface RehearseArguments {
  readonly file: string;
  readonly omissions: readonly Omission[];
  readonly level: LevelId;
  readonly seed?: number;
  /** Id of a built-in plan or profile, or a JSON file. */
  readonly plan: string;
  readonly profile: string;
  readonly json: boolean;
}

export const REHEARSE_USAGE = `usage: npm run -s rehearse -- SCENARIO.json [--omit NAME[,NAME]] [--level told|prompted|silent] [--seed NUMBER]
                                   [--plan ID|FILE] [--profile ID|FILE] [--json]

A scripted trainee does the whole check on the simulated rig; the score sheet and the coach's findings are printed.
--omit makes it make mistakes:
${Object.entries(OMISSIONS)
  .map(([name, what]) => `  ${name.padEnd(24)}${what}`)
  .join('\n')}
--seed picks other hidden faults than the scenario's own seed does.
Exit status: 0 all called right, 1 findings, 2 unusable scenario.`;

const TRY = 'Try --help.';

export function readRehearseArguments(argv: readonly string[]): Outcome<RehearseArguments | 'help'> {
  const read = readOptions(argv, {
    omit: { type: 'string', multiple: true, default: [] },
    level: { type: 'string', default: 'silent' },
    seed: { type: 'string' },
    plan: { type: 'string', default: 'full-cab-check' },
    profile: { type: 'string', default: 'fire-practice' },
    json: { type: 'boolean', default: false },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  if (values.help) return good('help');
  const [file, extra] = positionals;
  if (file === undefined) return bad('no scenario was named.', undefined, `Name a scenario file. ${TRY}`);
  if (extra !== undefined) return bad(`one scenario at a time, but “${extra}” came too.`, undefined, TRY);
  const names = values.omit.flatMap((list) => list.split(',')).filter((name) => name !== '');
  const omissions = names.filter(isOmission);
  const unknown = names.find((name) => !isOmission(name));
  if (unknown !== undefined) return bad(`there is no mistake “${unknown}”.`, '--omit', TRY);
  const level = LEVELS.find((each) => each === values.level);
  if (level === undefined) {
    return bad(`there is no level “${values.level}”.`, '--level', `The levels are ${LEVELS.join(', ')}.`);
  }
  const seed = values.seed === undefined ? undefined : Number(values.seed);
  if (seed !== undefined && !(/^\d{1,10}$/.test(values.seed ?? '') && seed <= 0xffff_ffff)) {
    return bad(`“${values.seed ?? ''}” is no seed.`, '--seed', 'Give a whole number from 0 to 4294967295.');
  }
  const { plan, profile, json } = values;
  return good({ file, omissions, level, plan, profile, json, ...(seed === undefined ? {} : { seed }) });
}
