import { availableParallelism, loadavg } from 'node:os';
import type { PreviewServer } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { TalkLevel } from '../../src/answering/level.ts';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import type { CabNoise } from '../../src/cli/operator/operator-sound.ts';
import { withHolds } from '../../src/rehearsal/short-holds.ts';
import type { Ms } from '../../src/units/time.ts';
import { serveApp } from '../support/cab.ts';
import { skip } from '../support/skipped.ts';
import { QUIET, stepsOf, WHOLE_CHECK } from '../support/tube/bench-rigs.ts';
import { answerTimes, bargeIns, ownWords, quantile, spokenFor, unheard } from '../support/tube/conversation.ts';
import { calloutOf, edgesOf } from '../support/tube/edges.ts';
import { INTERRUPTS, NEVER_WAITS, WAITS, type Pace } from '../support/tube/operator.ts';
import { OPERATOR_DB, type Echo } from '../support/tube/room.ts';
import { BESIDE_THE_APP, runLive, type LiveRun } from './conversation.ts';

/**
 * Four operators do a check in a real browser, in real time, with the tool’s loudspeaker in the microphone. As it is: the whole full cab check
 * with holds of 30 s, the shortest that a plan may have. `LIVE_HOLD=60`: holds of 60 s. `LIVE_STEPS=pre-start-fill,governor-cut-out,static-leakage`: these steps only. `LIVE_ATTEMPTS=1`: no second one where the
 * machine dropped sound. One operator alone, after `npm run build`:
 * `npx vitest run --project live tests/live/conversation.test.ts -t 'who waits'` (or `never waits`, `interrupts`, `loud cab`).
 */
const HOLD = Number(process.env['LIVE_HOLD'] ?? 30);
const STEPS = process.env['LIVE_STEPS']?.split(',');

/** The machine may drop sound in so many runs before it is told that it says nothing about the app. */
const ATTEMPTS = Number(process.env['LIVE_ATTEMPTS'] ?? 3);
const LONGEST: Ms = 25 * 60_000;
/** Edges of holds and windows, against the samples that were spoken; 95 of 100 are no further off. */
const EDGE_LIMIT: Ms = 60;
/** From the last sample of the words to the first of the answer. */
const ANSWER = { median: 350, high: 700 } as const;

interface Person {
  readonly who: string;
  readonly pace: Pace;
  readonly talk: TalkLevel;
  readonly echo: Echo;
  readonly noise: CabNoise;
  /** How soon it has to answer is wanted of quieter cabs; here only that all is heard, judged and timed rightly. */
  readonly isLoud?: boolean;
}

const PEOPLE: readonly Person[] = [
  { who: 'who waits', pace: WAITS, talk: 'short', echo: { levelDb: OPERATOR_DB - 10, delay: 250 }, noise: QUIET },
  {
    who: 'who never waits',
    pace: NEVER_WAITS,
    talk: 'short',
    echo: { levelDb: OPERATOR_DB - 25, delay: 20 },
    noise: { ...QUIET, dieselSnrDb: 15 },
  },
  {
    who: 'who interrupts',
    pace: INTERRUPTS,
    talk: 'full',
    echo: { levelDb: OPERATOR_DB - 10, delay: 120 },
    noise: QUIET,
  },
  {
    who: 'who is patient in a loud cab',
    pace: WAITS,
    talk: 'short',
    echo: { levelDb: OPERATOR_DB - 10, delay: 250 },
    noise: { ...QUIET, dieselSnrDb: 10 },
    isLoud: true,
  },
];

let server: (PreviewServer & { address: string }) | undefined;
beforeAll(async () => {
  server = await serveApp(BESIDE_THE_APP);
});
afterAll(() => server?.close());

describe('a check with the tool’s own voice in the microphone, in real time', () => {
  it.for(PEOPLE)('is done by one $who', { timeout: ATTEMPTS * (LONGEST + 2 * 60_000) }, async (person, context) => {
    for (let nth = 1; nth <= ATTEMPTS; nth += 1) {
      const run = await runOf(person);
      const [wrong, slow] = [wrongIn(run), person.isLoud === true ? [] : slowIn(run)];
      const excuses = [...run.dropped, ...(wrong.length === 0 && isBusy() ? ['the machine had other work'] : [])];
      process.stdout.write(`\nlive: one ${person.who}, ${person.talk}: ${lineOf(run)}\n`);
      if (wrong.length === 0 && slow.length === 0) return;
      console.warn(`Attempt ${nth} of ${ATTEMPTS}: ${[...excuses, ...wrong, ...slow].join('; ')}\n${storyOf(run)}`);
      if (excuses.length === 0) expect([...wrong, ...slow]).toEqual([]);
    }
    skip(
      context,
      `this machine dropped sound, or had other work, in all of ${ATTEMPTS} attempts, so nothing was shown of the app in real time`,
    );
  });
});

function runOf({ pace, talk, echo, noise }: Person): Promise<LiveRun> {
  const { plan, profile, scenario, voice } = WHOLE_CHECK;
  return runLive({
    address: server?.address ?? '',
    scenario,
    ...withHolds(STEPS === undefined ? plan : stepsOf(plan, ...STEPS), profile, HOLD),
    voice,
    pace,
    noise,
    echo,
    settings: { talk },
    longest: LONGEST,
  });
}

/** Callouts with needles, which are the long ones. */
const HAS_NEEDLES = /\b(primary|secondary|both)\b/;
/** One that lacks its second needle waits for it, by rule. */
function isHalf(text: string): boolean {
  return text.includes('primary') !== text.includes('secondary');
}

interface Times {
  readonly cues: readonly Ms[];
  readonly needles: readonly Ms[];
}

function timesOf(run: LiveRun): Times {
  const times = answerTimes(run).filter(({ text }) => !isHalf(text));
  const ms = (needles: boolean): Ms[] =>
    times.filter(({ text }) => HAS_NEEDLES.test(text) === needles).map((each) => each.ms);
  return { cues: ms(false), needles: ms(true) };
}

function edgeErrors(run: LiveRun): Ms[] {
  return edgesOf(run).map(({ error }) => Math.abs(error));
}

/** What a person in this cab would complain of, a line each. */
function wrongIn(run: LiveRun): string[] {
  const { verdict, results } = view(replay(run.events));
  const wrong = results.flatMap((result) =>
    result.verdict === 'pass' ? [] : [`${result.id} came to ${result.verdict}`],
  );
  if (!run.finished || verdict !== 'pass') wrong.push(`the check came to ${verdict ?? 'no end'}`);
  const own = ownWords(run).map(
    ({ heard, at }) => `${heard} at ${((at + (run.pages[0]?.offset ?? 0)) / 1000).toFixed(1)} s`,
  );
  if (own.length > 0) wrong.push(`it took its own words: ${own.join(', ')}`);
  const edges = edgeErrors(run);
  if (!((quantile(edges, 0.95) ?? Infinity) <= EDGE_LIMIT)) wrong.push(`edges were off by ${figures(edges)}`);
  return [...wrong, ...run.complaints];
}

/** What took too long, a line each. */
function slowIn(run: LiveRun): string[] {
  return (Object.entries(timesOf(run)) as [string, readonly Ms[]][]).flatMap(([kind, times]) => {
    const [median, high] = [quantile(times, 0.5) ?? Infinity, quantile(times, 0.95) ?? Infinity];
    if (median <= ANSWER.median && high <= ANSWER.high) return [];
    return [`answers to ${kind} took ${figures(times)}, not ${ANSWER.median} and ${ANSWER.high}`];
  });
}

/** Others want more of the processors than they have: how soon an answer came tells nothing then. */
function isBusy(): boolean {
  return (loadavg()[1] ?? 0) > 2 * availableParallelism();
}

function lineOf(run: LiveRun): string {
  const { verdict = 'NOT FINISHED' } = view(replay(run.events));
  const { cues, needles } = timesOf(run);
  const again = run.said.filter((said) => said.again).length;
  return (
    `${verdict} in ${run.seconds.toFixed(0)} s; ${run.said.length} said, ${again} again, ${unheard(run).length} not heard, ${ownWords(run).length} own; ` +
    `answers to cues ${figures(cues)}, to needles ${figures(needles)}; cut off ${figures(bargeIns(run))}; edges ${figures(edgeErrors(run))}; ` +
    `microphone late ${figures(run.late)}; spoke ${(spokenFor(run) / 1000).toFixed(0)} s; ${run.dropped.join(', ') || 'no sound dropped'}; load ${loadavg()[0]?.toFixed(1)}`
  );
}

/** What was said, and what was heard of it, for whoever reads what went wrong. */
function storyOf(run: LiveRun): string {
  const times = answerTimes(run);
  return run.said
    .map((said) => {
      const callout = calloutOf(run, said);
      const heard = callout === undefined ? 'not heard' : `“${callout.heard}” (${callout.confidence.toFixed(2)})`;
      const time = times.find(({ end }) => end === said.end);
      const after =
        time === undefined ? '' : `, kept after ${time.heard.toFixed(0)} ms, answered after ${time.ms.toFixed(0)}`;
      return `  ${(said.at / 1000).toFixed(1)} s, ${said.step}: ${said.text}${said.again ? ', again' : ''}: ${heard}${after}`;
    })
    .join('\n');
}

function figures(of: readonly Ms[]): string {
  const [median, high, most] = [0.5, 0.95, 1].map((part) => (quantile(of, part) ?? 0).toFixed(0));
  return of.length === 0 ? 'none' : `median ${median}, p95 ${high}, most ${most} ms of ${of.length}`;
}
