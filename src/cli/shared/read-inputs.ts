import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { builtInPlans } from '../../check/built-in-plans.ts';
import type { Plan } from '../../check/plan.ts';
import { readPlan } from '../../check/read-plan.ts';
import { wordsIn } from '../../grammar/compile.ts';
import { readGrammar } from '../../grammar/read-grammar.ts';
import { cueIds } from '../../grammar/select.ts';
import type { Grammar } from '../../grammar/syntax.ts';
import { ITEMS_RULE } from '../../items/items-grammar.ts';
import { BUILT_IN_PROFILES } from '../../judging/built-in-profiles.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import { readProfile } from '../../judging/read-profile.ts';
import { readRig } from '../../judging/read-rig.ts';
import type { RigSettings } from '../../judging/result.ts';
import { HANDS_RULE } from '../../rehearsal/hands.ts';
import { CLASS_RULE } from '../../rehearsal/pre-trip/explain.ts';
import { grammarOfPlan } from '../../running/grammar-of-plan.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { openFile } from './open-file.ts';
import { plainError } from './plain-error.ts';

/** Where nothing is known of the rig: pressures in psi, dials read to 1 psi, nothing optional fitted. */
const UNNAMED_RIG: RigSettings = { id: 'unnamed', name: 'Unnamed rig', unit: 'psi' };

const GRAMMARS = fileURLToPath(new URL('../../../grammars/', import.meta.url));

/** The bytes of a file, or one plain sentence on why there are none. */
export async function readBytes(path: string): Promise<Outcome<Buffer>> {
  const handle = await openFile(path);
  if (!handle.ok) return handle;
  try {
    return good(await handle.value.readFile());
  } catch (error) {
    return bad(plainError(error), path);
  } finally {
    await handle.value.close();
  }
}

/** Parsed JSON, or one plain sentence on why there is none. */
export async function readJson(path: string): Promise<Outcome<unknown>> {
  const bytes = await readBytes(path);
  if (!bytes.ok) return bytes;
  try {
    // Editors of some systems put a mark of the byte order before the text; decoding takes it away.
    return good(JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes.value)));
  } catch (error) {
    const why = error instanceof SyntaxError ? error.message.replace(/\s+/g, ' ') : 'it is not text in UTF-8';
    return bad(`not JSON: ${why}.`, path);
  }
}

let shipped: Promise<Outcome<Grammar>> | undefined;

/** The grammar that ships with the program: read once, with all that is worked out of it. */
export function loadGrammar(): Promise<Outcome<Grammar>> {
  shipped ??= readShipped();
  return shipped;
}

async function readShipped(): Promise<Outcome<Grammar>> {
  const names = (await readdir(GRAMMARS)).filter((name) => name.endsWith('.jsgf')).sort();
  const sources: Record<string, string> = {};
  for (const name of names) sources[name] = await readFile(join(GRAMMARS, name), 'utf8');
  return readGrammar(sources);
}

/** Every word that any rule of the grammar uses, in either unit, and those of the items of the built-in plans. */
export function grammarWords(grammar: Grammar): string[] {
  const own = (['psi', 'kPa'] as const).flatMap((unit) =>
    wordsIn(grammar, ['anything', 'denied', HANDS_RULE, CLASS_RULE], unit),
  );
  const items = builtInPlans(new Set(cueIds(grammar))).flatMap((plan) => {
    const walked = grammarOfPlan(grammar, plan);
    return walked === grammar ? [] : wordsIn(walked, [ITEMS_RULE], 'psi');
  });
  const words = [...own, ...items];
  return [...new Set(words)].sort();
}

export async function loadPlan(idOrFile: string, grammar: Grammar): Promise<Outcome<Plan>> {
  const cues = new Set(cueIds(grammar));
  const plans = builtInPlans(cues);
  const builtIn = plans.find((plan) => plan.id === idOrFile);
  if (builtIn !== undefined) return good(builtIn);
  if (!looksLikeFile(idOrFile)) return unknownId('plan', idOrFile, plans);
  const json = await readJson(idOrFile);
  if (!json.ok) return json;
  const read = readPlan(json.value, idOrFile, cues);
  return read.ok ? underItsOwnName(read.value, plans, 'plan', idOrFile) : read;
}

export async function loadProfile(idOrFile: string): Promise<Outcome<LimitProfile>> {
  const builtIn = BUILT_IN_PROFILES.find((profile) => profile.id === idOrFile);
  if (builtIn !== undefined) return good(builtIn);
  if (!looksLikeFile(idOrFile)) return unknownId('limit profile', idOrFile, BUILT_IN_PROFILES);
  const json = await readJson(idOrFile);
  if (!json.ok) return json;
  const read = readProfile(json.value, idOrFile);
  return read.ok ? underItsOwnName(read.value, BUILT_IN_PROFILES, 'limit profile', idOrFile) : read;
}

/** A file that calls itself like what is built in, and is another, would be printed and kept as that one. */
function underItsOwnName<Named extends { readonly id: string; readonly title: string }>(
  own: Named,
  builtIn: readonly Named[],
  kind: string,
  file: string,
): Outcome<Named> {
  const same = builtIn.find(({ id, title }) => id === own.id || title === own.title);
  if (same === undefined || isDeepStrictEqual(same, own)) return good(own);
  return bad(
    `this ${kind} differs from the built-in one whose name it has, “${same.title}” (${same.id}).`,
    file,
    'Give it an id and a title of its own.',
  );
}

export async function loadRig(file: string | undefined): Promise<Outcome<RigSettings>> {
  if (file === undefined) return good(UNNAMED_RIG);
  const json = await readJson(file);
  return json.ok ? readRig(json.value, file) : json;
}

/** True for what names a file, and no id of something built in. */
export function looksLikeFile(text: string): boolean {
  return /[./\\]/.test(text);
}

function unknownId(kind: string, id: string, known: readonly { readonly id: string }[]): ReturnType<typeof bad> {
  return bad(
    `there is no ${kind} “${id}”.`,
    undefined,
    `Built in: ${known.map((each) => each.id).join(', ')}; or name a JSON file.`,
  );
}
