import { stat, writeFile } from 'node:fs/promises';
import { dirname, relative, resolve } from 'node:path';
import type { StartEvent } from '../../check/event.ts';
import { AIR_BRAKE_EXAM } from '../../examining/rules.ts';
import { sheetHtml } from '../../examining/sheet-html.ts';
import type { CheckState } from '../../check/state.ts';
import { listensFor } from '../../check/listens-for.ts';
import { parse } from '../../grammar/parse.ts';
import { findRule } from '../../grammar/select.ts';
import type { Grammar } from '../../grammar/syntax.ts';
import type { Ms } from '../../units/time.ts';
import { bad, good, problemLine, type Outcome, type Problem } from '../../units/outcome.ts';
import { beginRun, endRun, passTime, take, type CheckRun } from '../../running/check-run.ts';
import { HEAR_USAGE, readHearArguments, type HearArguments } from './hear-arguments.ts';
import { exitStatus, reportOf } from './hear-report.ts';
import { languageOf } from '../../running/language.ts';
import { grammarOfPlan } from '../../running/grammar-of-plan.ts';
import { openSource } from './hear-source.ts';
import type { Said } from '../../running/callout-of.ts';
import type { CalloutSource } from '../../running/callout-source.ts';
import { loadGrammar, loadPlan, loadProfile, loadRig, looksLikeFile } from '../shared/read-inputs.ts';
import { openEvidence, type EvidenceFolder } from './evidence-folder.ts';
import { keepEvidence } from './keep-evidence.ts';
import { openKeyFile } from '../shared/key-file.ts';
import { plainError } from '../shared/plain-error.ts';
import { printable, printableValue, type Printer } from '../shared/printer.ts';
import { verdictTable } from './verdict-table.ts';

const UNUSABLE = 2;

/** The command `hear`: prints, and resolves with the exit status. Problems of the input are one line on stderr. */
export async function hearCommand(argv: readonly string[], printer: Printer): Promise<number> {
  try {
    return await hear(argv, printer);
  } catch (error) {
    // An engine that dies: still one line.
    printer.err(`hear: ${plainError(error)}`);
    return UNUSABLE;
  }
}

async function hear(argv: readonly string[], printer: Printer): Promise<number> {
  const warn = (problem: Problem): void => printer.err(`hear: ${problemLine(problem)}`);
  const refuse = (problem: Problem): number => {
    warn(problem);
    return UNUSABLE;
  };
  const args = readHearArguments(argv);
  if (!args.ok) return refuse(args.problem);
  if (args.value === 'help') {
    printer.out(HEAR_USAGE);
    return 0;
  }
  const grammar = await loadGrammar();
  if (!grammar.ok) return refuse(grammar.problem);
  const rig = await loadRig(args.value.rig);
  if (!rig.ok) return refuse(rig.problem);
  if (args.value.listen !== undefined) {
    const rule = args.value.listen;
    if (!isPublicRule(grammar.value, rule)) {
      return refuse({
        what: `there is no public grammar rule “${rule}”.`,
        where: '--listen',
        repair: 'Try readings, cues or anything.',
      });
    }
    const source = await openSource(args.value, warn);
    if (!source.ok) return refuse(source.problem);
    return listen(source.value, rule, grammar.value, rig.value.unit, printer);
  }
  const plan = await loadPlan(args.value.plan, grammar.value);
  if (!plan.ok) return refuse(plan.problem);
  const profile = await loadProfile(args.value.profile);
  if (!profile.ok) return refuse(profile.problem);
  const key = args.value.key === undefined ? good(undefined) : await openKeyFile(args.value.key);
  if (!key.ok) return refuse(key.problem);
  const source = await openSource(args.value, warn);
  if (!source.ok) return refuse(source.problem);
  const start: StartEvent = {
    type: 'start',
    at: 0,
    // Nobody noted when a file was recorded; this is the nearest that is known.
    wall: (await stat(args.value.file)).mtime.toISOString(),
    plan: plan.value,
    profile: profile.value,
    rig: rig.value,
    operator: 'not named',
    asking: 'assume',
  };
  const { out, force } = args.value;
  const folder = out === undefined ? good(undefined) : await openEvidence(out, force);
  if (!folder.ok) return refuse(folder.problem);
  try {
    const run = await runCheck(start, source.value, grammarOfPlan(grammar.value, plan.value), warn);
    return await report(run, args.value, folder.value, printer);
  } finally {
    await folder.value?.release();
  }
}

function isPublicRule(grammar: Grammar, rule: string): boolean {
  try {
    findRule(grammar, rule);
    return true;
  } catch {
    return false;
  }
}

async function listen(
  source: CalloutSource,
  rule: string,
  grammar: Grammar,
  unit: 'psi' | 'kPa',
  printer: Printer,
): Promise<number> {
  await source.play({
    listening: () => ({ grammar, rules: [rule], unit }),
    take({ start: at, end, text: heard, confidence, voice }) {
      if (voice !== undefined) return;
      const meaning = parse(grammar, [rule], heard, unit) ?? null;
      printer.out(JSON.stringify({ at, end, heard, confidence, meaning }));
    },
    passOver: (at, end) => printer.out(JSON.stringify({ at, end, heard: '' })),
    pass: () => undefined,
  });
  return 0;
}

async function runCheck(
  start: StartEvent,
  source: CalloutSource,
  grammar: Grammar,
  warn: (problem: Problem) => void,
): Promise<CheckRun> {
  const language = languageOf(grammar);
  let run = beginRun(start);
  const after: Said[] = [];
  const end = await source.play({
    listening: () => ({ grammar, rules: listensFor(run.state), unit: start.rig.unit }),
    take(said) {
      if (run.state.phase === 'done') after.push(said);
      run = take(run, said, language);
    },
    pass(at) {
      run = passTime(run, at);
    },
  });
  const [first] = after;
  if (first !== undefined)
    warn({
      what: `the check was over before ${(first.start / 1000).toFixed(1)} s: what was said from there on is flagged, and only what is bad of it is judged (${String(after.length)}).`,
      repair: 'Keep each check in a file of its own.',
    });
  return endRun(run, end);
}

/** What was named by a file is told from what is built in, however alike they are called. */
function marked(title: string, idOrFile: string): string {
  return looksLikeFile(idOrFile) ? `${title} (from ${idOrFile})` : title;
}

/** Keeps the evidence, then prints the verdicts: also where it could not be kept, which is said, and told by the status. */
async function report(
  { state, events }: CheckRun,
  args: HearArguments,
  folder: EvidenceFolder | undefined,
  printer: Printer,
): Promise<number> {
  const result = reportOf(state, events);
  const kept = folder === undefined ? good(undefined) : await keepEvidence(events, folder, args.key);
  const written = args.sheet === undefined ? good(undefined) : await writeSheet(state, args.sheet, args.file);
  if (args.json) printer.out(JSON.stringify(result, null, 1));
  else {
    const { plan, profile, rig } = state.start;
    const names = [marked(plan.title, args.plan), rig.name, marked(profile.title, args.profile)];
    const heading = [names.join(' · '), args.file].map(printable).join('\n');
    printer.out(verdictTable(printableValue(result), heading));
  }
  if (!written.ok) {
    printer.err(`hear: ${problemLine(written.problem)}`);
    return UNUSABLE;
  }
  if (!kept.ok) {
    printer.err(`hear: ${problemLine(kept.problem)}`);
    return UNUSABLE;
  }
  if (folder !== undefined && args.key === undefined)
    printer.err('hear: the seal of the evidence is only a checksum: sign it with --key FILE to show who made it.');
  return exitStatus(result.verdict);
}

/** Another file is never replaced: its name may have been mistyped. */
async function writeSheet(state: CheckState, path: string, file: string): Promise<Outcome<undefined>> {
  try {
    // By the fragment of W3C Media Fragments URI 1.0 a player begins at the moment.
    const heard = encodeURI(relative(dirname(resolve(path)), resolve(file)));
    const sound = (at: Ms) => ({ href: `${heard}#t=${(at / 1000).toFixed(1)}` });
    const page = sheetHtml(state, AIR_BRAKE_EXAM, file.endsWith('.wav') ? { sound } : {});
    await writeFile(path, page, { flag: 'wx' });
    return good(undefined);
  } catch (error) {
    return bad(plainError(error), path, 'Name a file that is not there yet.');
  }
}
