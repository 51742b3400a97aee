import { readScenario, type Scenario } from '../../airsystem/scenario.ts';
import type { CoachReport } from '../../rehearsal/coach.ts';
import { coach } from '../../rehearsal/coach.ts';
import { isOmission } from '../../rehearsal/omission.ts';
import type { Rehearsal } from '../../rehearsal/rehearsal.ts';
import { performScripted } from '../../rehearsal/scripted-trainee.ts';
import { problemLine, type Outcome, type Problem } from '../../units/outcome.ts';
import type { Printer } from '../shared/printer.ts';
import { loadGrammar, loadPlan, loadProfile, readJson } from '../shared/read-inputs.ts';
import { readRehearseArguments, REHEARSE_USAGE } from './rehearse-arguments.ts';
import { scoreSheet } from './score-lines.ts';

const UNUSABLE = 2;

/** The command `rehearse`: prints, and resolves with the exit status. Problems of the input are one line on stderr. */
export async function rehearseCommand(argv: readonly string[], printer: Printer): Promise<number> {
  const refuse = (problem: Problem): number => {
    printer.err(`rehearse: ${problemLine(problem)}`);
    return UNUSABLE;
  };
  const args = readRehearseArguments(argv);
  if (!args.ok) return refuse(args.problem);
  if (args.value === 'help') {
    printer.out(REHEARSE_USAGE);
    return 0;
  }
  const { file, omissions, level, seed, json } = args.value;
  const scenario = await loadScenario(file);
  if (!scenario.ok) return refuse(scenario.problem);
  const grammar = await loadGrammar();
  if (!grammar.ok) return refuse(grammar.problem);
  const plan = await loadPlan(args.value.plan, grammar.value);
  if (!plan.ok) return refuse(plan.problem);
  const profile = await loadProfile(args.value.profile);
  if (!profile.ok) return refuse(profile.problem);
  const setup = {
    scenario: scenario.value,
    ...(seed === undefined ? {} : { seed }),
    level,
    plan: plan.value,
    profile: profile.value,
    trainee: 'scripted trainee',
    wall: new Date().toISOString(),
  };
  const { slip } = scenario.value;
  if (slip !== undefined && !isOmission(slip))
    return refuse({ what: `no trainee knows the slip “${slip}”`, where: file, repair: 'Correct the scenario file.' });
  const rehearsal = performScripted(setup, slip === undefined ? omissions : [...omissions, slip]);
  const report = coach(rehearsal);
  printer.out(json ? asJson(rehearsal, report) : scoreSheet(rehearsal, report));
  return report.findings.length === 0 ? 0 : 1;
}

async function loadScenario(file: string): Promise<Outcome<Scenario>> {
  const json = await readJson(file);
  return json.ok ? readScenario(json.value, file) : json;
}

/** Everything but the needle curves, which are many numbers and none that a reader would miss. */
function asJson({ setup, check }: Rehearsal, { score, steps, findings, faults }: CoachReport): string {
  const told = findings.map(({ kind, step, at, what }) => ({ kind, step, at, what }));
  const { scenario, level } = setup;
  return JSON.stringify(
    { scenario: scenario.id, level, score, verdict: check.verdict, steps, findings: told, faults },
    null,
    1,
  );
}
