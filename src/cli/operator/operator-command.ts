import { join } from 'node:path';
import type { StartEvent } from '../../check/event.ts';
import { fullCabCheckScript } from '../../rehearsal/synthetic-operator-script.ts';
import { problemLine, type Problem } from '../../units/outcome.ts';
import { SAMPLE_RATE } from '../../units/time.ts';
import { BRISK_AFTER_HOLD, BRISK_PACE, writeRecording } from '../assets/assets-demo.ts';
import { cachedFlite } from '../assets/cached-flite.ts';
import { LIVE_AFTER_HOLD, livePace } from '../../running/live-pace.ts';
import { QUIET_CAB, recordOperator } from './operator-recording.ts';
import { OPERATOR_USAGE, readOperatorArguments, type OperatorArguments } from './operator-arguments.ts';
import { plainError } from '../shared/plain-error.ts';
import type { Printer } from '../shared/printer.ts';
import { loadGrammar, loadPlan, loadProfile } from '../shared/read-inputs.ts';
import { usableFolder } from '../shared/usable-folder.ts';
import { withHolds } from '../../rehearsal/short-holds.ts';
import { writeIfChanged } from '../assets/write-file.ts';

const UNUSABLE = 2;

/** The command `operator`: writes a synthetic operator's recording, and resolves with the exit status. */
export async function operatorCommand(argv: readonly string[], printer: Printer): Promise<number> {
  const refuse = (problem: Problem): number => {
    printer.err(`operator: ${problemLine(problem)}`);
    return UNUSABLE;
  };
  const args = readOperatorArguments(argv);
  if (!args.ok) return refuse(args.problem);
  if (args.value === 'help') {
    printer.out(OPERATOR_USAGE);
    return 0;
  }
  const folder = await usableFolder(args.value.out);
  if (!folder.ok) return refuse(folder.problem);
  try {
    return await render(args.value, printer, refuse);
  } catch (error) {
    return refuse({ what: plainError(error), where: args.value.out });
  }
}

async function render(
  { out, scenario, voice, pace, hold, floorDb, diesel }: OperatorArguments,
  printer: Printer,
  refuse: (problem: Problem) => number,
): Promise<number> {
  const grammar = await loadGrammar();
  if (!grammar.ok) return refuse(grammar.problem);
  const plan = await loadPlan('full-cab-check', grammar.value);
  const profile = await loadProfile('fire-practice');
  if (!plan.ok) return refuse(plan.problem);
  if (!profile.ok) return refuse(profile.problem);
  const trial = withHolds(plan.value, profile.value, hold);
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: new Date(0).toISOString(),
    ...trial,
    rig: scenario.rig,
    operator: 'synthetic',
    asking: 'ask',
  };
  const recording = await recordOperator(
    fullCabCheckScript(scenario, {
      holdSeconds: hold,
      afterHold: pace === 'silent' ? BRISK_AFTER_HOLD : LIVE_AFTER_HOLD,
    }),
    {
      voice,
      pace: pace === 'silent' ? BRISK_PACE : livePace(start, grammar.value, pace === 'terse' ? 'short' : 'full'),
      noise: { ...QUIET_CAB, floorDb, ...(diesel === undefined ? {} : { dieselSnrDb: diesel }) },
      tail: 3000,
    },
    cachedFlite(),
  );
  await writeRecording(out, scenario, voice, recording);
  await writeIfChanged(join(out, 'plan.json'), `${JSON.stringify(trial.plan, null, 1)}\n`);
  await writeIfChanged(join(out, 'profile.json'), `${JSON.stringify(trial.profile, null, 1)}\n`);
  printer.out(`${out}: ${scenario.id}, ${Math.round(recording.samples.length / SAMPLE_RATE)} s`);
  return 0;
}
