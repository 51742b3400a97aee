import process from 'node:process';
import { parseArgs } from 'node:util';
import { TALK_LEVELS } from '../../src/answering/level.ts';
import { randomFrom } from '../../src/airsystem/scenario.ts';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { coveringPairs } from '../support/covering.ts';
import { ONE_HOLD, QUIET, SHORT_HOLD, WHOLE_CHECK } from '../support/tube/bench-rigs.ts';
import { answerTimes, bargeIns, ownWords, quantile, spokenFor, unheard } from '../support/tube/conversation.ts';
import { edgesOf } from '../support/tube/edges.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { INTERRUPTS, NEVER_WAITS, WAITS } from '../support/tube/operator.ts';
import { runTube, type TubeOptions } from '../support/tube/tube.ts';

/**
 * `npm run bench -- conversation [--of whole|hold|short] [--sample N --seed S] [--only TEXT] [--slow MS]`: checks in the test tube with the
 * tool's voice in the microphone, at every level of talk, with an echo of 10 and 25 dB below the operator that is 20 to 250 ms late, in a
 * quiet cab and over a diesel 15 dB below the operator, by one who waits, one who never waits and one who interrupts. A line each, and all of
 * them together beside what is wanted. `--sample`: N of them, and more if it takes more, so that every pair of these values occurs. `--seed`
 * draws them, and when the echo moves. `--slow` names the words whose answer took longer.
 */
const { values } = parseArgs({
  options: {
    of: { type: 'string', default: 'whole' },
    only: { type: 'string', default: '' },
    sample: { type: 'string' },
    seed: { type: 'string', default: '1' },
    slow: { type: 'string', default: '700' },
  },
});
const PLANS: Readonly<Record<string, TubeOptions>> = { whole: WHOLE_CHECK, hold: ONE_HOLD, short: SHORT_HOLD };
const plan = PLANS[values.of] ?? WHOLE_CHECK;
/** Callouts with needles, which are the long ones. */
const HAS_NEEDLES = /\b(primary|secondary|both)\b/;
/** An edge that is further off is named, ms. */
const EDGE = 60;
/** Of the operator at the microphone, dB re full scale. */
const OPERATOR_DB = -22;
const SNRS = [undefined, 15] as const;
const BELOW = [10, 25] as const;
const DELAYS = [20, 250] as const;
const PACES = [WAITS, NEVER_WAITS, INTERRUPTS] as const;
const SIZES = [TALK_LEVELS.length, SNRS.length, BELOW.length, DELAYS.length, PACES.length];

interface Case {
  readonly name: string;
  readonly manner: string;
  readonly talk: string;
  readonly options: TubeOptions;
}

const drawnCases =
  values.sample === undefined
    ? SIZES.reduce<readonly (readonly number[])[]>(
        (all, size) => all.flatMap((each) => Array.from({ length: size }, (_, n) => [...each, n])),
        [[]],
      )
    : coveringPairs(SIZES, Number(values.sample), randomFrom(Number(values.seed)));
const CASES = drawnCases.map(caseOf);

function caseOf([level = 0, noise = 0, loud = 0, late = 0, who = 0]: readonly number[]): Case {
  const [talk = 'short', snr, below = 10, delay = 20, pace = WAITS] = [
    TALK_LEVELS[level],
    SNRS[noise],
    BELOW[loud],
    DELAYS[late],
    PACES[who],
  ];
  return {
    name: `${pace.manner}, ${talk}, echo ${below} dB below and ${delay} ms late, ${snr === undefined ? 'quiet' : `diesel ${snr} dB below`}`,
    manner: pace.manner,
    talk,
    options: {
      ...plan,
      longest: 40 * 60_000,
      pace: { ...pace, settling: plan.pace.settling },
      noise: { ...QUIET, ...(snr === undefined ? {} : { dieselSnrDb: snr }) },
      settings: { voice: true, talk },
      echo: { levelDb: OPERATOR_DB - below, delay, seed: Number(values.seed) },
    },
  };
}

interface Sum {
  readonly said: number;
  readonly again: number;
}
const all = {
  own: 0,
  cues: [] as number[],
  needles: [] as number[],
  heard: [] as number[],
  cut: [] as number[],
  edges: [] as number[],
};
/** Apart for each manner, and what the tool spoke at each level. */
const manners = new Map<string, Sum>();
const spokenAt = new Map<string, number[]>();
const host = await nodeHost();
for (const { name, manner, talk, options } of CASES) {
  if (!name.includes(values.only)) continue;
  const run = await runTube(host, options);
  const { verdict = 'not finished', results } = view(replay(run.events));
  const again = run.said.filter((said) => said.again).length;
  const own = ownWords(run).length;
  const answers = answerTimes(run);
  const cues = answers.filter(({ text }) => !HAS_NEEDLES.test(text)).map(({ ms }) => ms);
  const needles = answers.filter(({ text }) => HAS_NEEDLES.test(text)).map(({ ms }) => ms);
  const cut = bargeIns(run);
  const marks = edgesOf(run);
  const edges = marks.map(({ error }) => Math.abs(error));
  const failed = results.filter((result) => result.verdict !== 'pass').map(({ id, verdict: each }) => `${id} ${each}`);
  console.log(
    `conversation: ${name}: ${run.finished ? verdict : 'NOT FINISHED'}${failed.length === 0 ? '' : ` (${failed.join(', ')})`}; ` +
      `${run.said.length} said, ${again} again, ${unheard(run).length} not heard, ${own} own; answers to cues ${figures(cues)}, to needles ${figures(needles)}; ` +
      `cut off ${figures(cut)}; worst edge ${Math.max(0, ...edges).toFixed(0)} ms; spoke ${(spokenFor(run) / 1000).toFixed(0)} s of ${run.seconds.toFixed(0)}`,
  );
  for (const { text, ms, heard } of answers)
    if (ms > Number(values.slow))
      console.log(`  ${ms.toFixed(0)} ms, ${heard.toFixed(0)} of it until “${text}” was heard`);
  for (const { text, mark, error } of marks)
    if (Math.abs(error) > EDGE) console.log(`  edge ${mark} ${error.toFixed(0)} ms off: “${text}”`);
  for (const { at, text } of run.said.filter((said) => said.again))
    console.log(`  said again at ${(at / 1000).toFixed(1)} s: “${text}”`);
  const before = manners.get(manner) ?? { said: 0, again: 0 };
  manners.set(manner, { said: before.said + run.said.length, again: before.again + again });
  spokenAt.set(talk, [...(spokenAt.get(talk) ?? []), spokenFor(run) / 1000]);
  all.own += own;
  all.cues.push(...cues);
  all.needles.push(...needles);
  all.heard.push(...answers.map(({ heard }) => heard));
  all.cut.push(...cut);
  all.edges.push(...edges);
}
for (const [manner, { said, again }] of manners)
  console.log(
    `conversation: ${manner}: said twice ${again} of ${said} (wanted: at most ${manner === 'waits' ? 2 : 5} %)`,
  );
for (const [talk, seconds] of spokenAt)
  console.log(
    `conversation: ${talk}: spoke ${Math.min(...seconds).toFixed(0)} to ${Math.max(...seconds).toFixed(0)} s in a check (wanted, short: at most 144 in a whole one)`,
  );
console.log(
  `conversation: all: own words ${all.own} (wanted: 0); answers to cues ${figures(all.cues)}, to needles ${figures(all.needles)} (wanted: median 350, p95 700); of it until they were heard ${figures(all.heard)}; ` +
    `cut off ${figures(all.cut)} (wanted: at most 400); edges p95 ${(quantile(all.edges, 0.95) ?? 0).toFixed(0)} ms (wanted: 60)`,
);
await host.close();
process.exit(all.own > 0 ? 1 : 0);

function figures(of: readonly number[]): string {
  const [median, high, most] = [0.5, 0.95, 1].map((part) => (quantile(of, part) ?? 0).toFixed(0));
  return of.length === 0 ? 'none' : `median ${median}, p95 ${high}, most ${most} ms of ${of.length}`;
}
