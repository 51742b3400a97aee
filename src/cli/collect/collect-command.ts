import { setTimeout as sleep } from 'node:timers/promises';
import { withKeys, type KnownKey } from '../../record/known-keys.ts';
import { sameKey } from '../../record/signer.ts';
import { collect } from '../../shelf/collect.ts';
import type { Finding } from '../../shelf/finding.ts';
import type { Web } from '../../shelf/http.ts';
import { openPlace } from '../../shelf/open-place.ts';
import type { Place } from '../../shelf/place.ts';
import { readShelfFile, type ShelfFile } from '../../shelf/shelf-file.ts';
import { good, problemLine, type Problem } from '../../units/outcome.ts';
import { loadKeys } from '../shared/key-file.ts';
import { plainError } from '../shared/plain-error.ts';
import { printable, type Printer } from '../shared/printer.ts';
import { readBytes } from '../shared/read-inputs.ts';
import { usableFolder } from '../shared/usable-folder.ts';
import { COLLECT_USAGE, readCollectArguments, type CollectTask } from './collect-arguments.ts';
import { findingLine, isWrong, retiredLines } from './finding-lines.ts';
import { folderDesk } from './folder-desk.ts';
import { nodeXml } from './node-xml.ts';
import { putIndexes } from './put-indexes.ts';
import { retireOlder } from './retire-older.ts';

const GOOD = 0;
const WRONG = 1;
const UNUSABLE = 2;

/** What the command reads the world by; tests put another in its place. */
const WEB: Web = {
  fetch: (url, init) => fetch(url, init),
  xml: nodeXml,
  wall: () => new Date().toISOString(),
};

/** The command `collect`: prints what is wrong or missing on a shelf, and resolves with the exit status. */
export async function collectCommand(argv: readonly string[], printer: Printer, web: Web = WEB): Promise<number> {
  const refuse = (problem: Problem): number => {
    printer.err(printable(`collect: ${problemLine(problem)}`));
    return UNUSABLE;
  };
  const args = readCollectArguments(argv);
  if (!args.ok) return refuse(args.problem);
  const task = args.value;
  if (task.do === 'help') {
    printer.out(COLLECT_USAGE);
    return GOOD;
  }
  const bytes = await readBytes(task.shelf);
  if (!bytes.ok) return refuse(bytes.problem);
  const shelf = readShelfFile(bytes.value.toString('utf8'), task.shelf);
  if (!shelf.ok) return refuse(shelf.problem);
  const more = task.keys === undefined ? good([]) : await loadKeys(task.keys);
  if (!more.ok) return refuse(more.problem);
  const known = withKeys(shelf.value.keys, more.value);
  const place = openPlace(shelf.value, web);
  const { station } = shelf.value;
  const at = station === undefined ? {} : { station };
  if (task.do === 'retire') {
    const retired = await retireOlder(task, { place, known, wall: web.wall(), sleep, ...at }, printer);
    return retired.ok ? (retired.value ? GOOD : WRONG) : refuse(retired.problem);
  }
  const usable = await usableFolder(task.out);
  if (!usable.ok) return refuse(usable.problem);
  try {
    return await collectInto(task, shelf.value, place, known, printer, refuse);
  } catch (error) {
    return refuse({ what: plainError(error), where: task.out });
  }
}

async function collectInto(
  { since, out, clips, again, index }: CollectTask,
  { station }: ShelfFile,
  place: Place,
  known: readonly KnownKey[],
  printer: Printer,
  refuse: (problem: Problem) => number,
): Promise<number> {
  const found: Finding[] = [];
  const at = station === undefined ? {} : { station };
  const desk = folderDesk(out);
  const tell = (finding: Finding): void => void found.push(finding);
  const whole = await collect({ place, desk, known, since, clips, again, sleep: sleep, tell, ...at });
  let status = GOOD;
  for (const finding of found) {
    const line = await findingLine(finding, known);
    if (line !== undefined) printer.out(printable(line));
    if (isWrong(finding)) status = WRONG;
    if (finding.kind === 'newest' && !known.some(({ key }) => sameKey(key, finding.device))) status = WRONG;
    if (finding.kind === 'broke-off') refuse(finding.problem);
  }
  const silent = known.filter(({ key }) => !found.some((each) => each.kind === 'newest' && sameKey(each.device, key)));
  if (whole && silent.length > 0)
    printer.out(printable(`Nothing is there of ${silent.map(({ name }) => name).join(', ')}.`));
  for (const line of await retiredLines(found, known)) printer.out(printable(line));
  if (whole && index) {
    const trouble = await putIndexes(out, desk, place, since);
    if (trouble !== undefined) return refuse(trouble);
  }
  printer.out(printable(`${sumOf(found)} into ${out}.${whole ? '' : ' The rest was not looked at.'}`));
  return whole ? status : status === WRONG ? WRONG : UNUSABLE;
}

function sumOf(found: readonly Finding[]): string {
  const count = (what: string): number => found.filter((each) => each.kind === 'kept' && each.what === what).length;
  return `Collected ${count('check')} checks, ${count('note')} remarks and ${count('clip')} sounds`;
}
