import { cuesOf, needsOf } from '../check/needs.ts';
import { NO_PROGRESS } from '../check/state.ts';
import type { Ms } from '../units/time.ts';
import { NOT_CALLED } from './catch-up.ts';
import { isSpoiled } from './coach-conditions.ts';
import { undoneAt } from './coach-actions.ts';
import { coachSkip } from './coach-skips.ts';
import type { Finding } from './finding.ts';
import type { Call, Play, PlayedStep } from './play.ts';
import { controlsAt, failedBefore, findingIn, movedIn, seconds, words } from './play.ts';

/** Callouts that are cautions: leaving them out can hurt somebody. */
const CAUTIONS = ['chocks-set', 'belts-on'];

/** Callouts that are missing or out of order, holds cut short or closed too late, and cautions skipped. */
export function coachCallouts(play: Play): Finding[] {
  return play.steps.flatMap((played) => {
    const short = cutShort(play, played);
    return [
      ...short,
      ...putIn(play, played, short.length > 0),
      ...(short.length > 0 ? [] : unfinished(play, played)),
      ...coachSkip(play, played),
      ...outOfOrder(play, played),
      ...closedLate(play, played),
      ...droveOnAFail(play, played),
    ];
  });
}

/** What the examiner had to put in. */
function putIn(play: Play, played: PlayedStep, explained: boolean): Finding[] {
  return played.calls
    .filter(({ record }) => record.heard === NOT_CALLED)
    .flatMap(({ record: { meaning, at } }) => {
      if (meaning?.command === 'skip') {
        return explained ? [] : [findingIn(play, 'missing', played, at, 'The step was left before it was measured.')];
      }
      return (meaning?.cues ?? []).map((cue) => notCalled(play, played, cue, at));
    });
}

function unfinished(play: Play, played: PlayedStep): Finding[] {
  const { record } = played;
  // Why it was not counted is told by its conditions.
  if (record?.outcome !== 'unfinished' || isSpoiled(played.progress)) return [];
  const { cues, outcomes, reading, cuesAfter } = needsOf(played.step, played.progress, play.check.start.rig);
  const { at } = play.cab;
  const cautions = cues.filter((cue) => CAUTIONS.includes(cue) && calledAt(played, cue) < 0);
  if (played.calls.length > 0 && cautions.length > 0) return cautions.map((cue) => notCalled(play, played, cue, at));
  const silent = reading || outcomes.length > 0 ? [] : [...cues, ...cuesAfter];
  if (silent.length > 0 && played.progress !== NO_PROGRESS)
    return silent.map((cue) => notCalled(play, played, cue, played.to));
  return [findingIn(play, 'missing', played, at, 'The step was not finished.')];
}

/** When a cue was called in the step; -1 when it was not. */
function calledAt({ calls }: PlayedStep, cue: string): Ms {
  return calls.find(({ record }) => record.taken && record.meaning?.cues.includes(cue) === true)?.record.at ?? -1;
}

/** A cue that was not called by `noticed`; the moment is the end of its step. */
function notCalled(play: Play, played: PlayedStep, cue: string, noticed: Ms): Finding {
  const at = Math.min(noticed, played.to);
  if (CAUTIONS.includes(cue)) {
    return findingIn(play, 'caution', played, at, `A caution was skipped: ${words(cue)} was not called.`);
  }
  const undone = undoneAt(play, cue, noticed);
  return undone === undefined
    ? findingIn(play, 'missing', played, at, `${words(cue)} was not called.`)
    : findingIn(play, 'not-done', played, at, `${words(cue)} was not called, and ${undone}.`);
}

/** Needles called again before the hold was over, and it was left at that. */
function cutShort(play: Play, played: PlayedStep): Finding[] {
  const { holdSeconds } = played.step;
  const { readings, within = [] } = played.progress;
  const [opening] = readings;
  const last = within.at(-1);
  if (played.record?.outcome !== 'unfinished' || opening === undefined || last === undefined) return [];
  const at = last.start;
  const what = `The hold was cut short: the needles were called after ${seconds(at - opening.end)} of ${String(holdSeconds)} s.`;
  return [findingIn(play, 'hold-short', played, at, what)];
}

function outOfOrder(play: Play, played: PlayedStep): Finding[] {
  const found = [...misplaced(play, played), ...needlesTooSoon(play, played)];
  return found.slice(0, 1);
}

/** Cues that had no place when they were called. */
function misplaced(play: Play, played: PlayedStep): Finding[] {
  return played.calls.filter(isMisplaced).flatMap(({ record }) => {
    const cue = record.meaning?.cues[0] ?? '';
    const own = cuesOf(played.step).includes(cue);
    // Said twice does no harm.
    if (own && calledAt(played, cue) >= 0) return [];
    const late = CAUTIONS.find((caution) => calledAt(played, caution) > record.at);
    if (late !== undefined) {
      const what = `A caution was skipped: ${words(late)} was called only after ${words(cue)}.`;
      return [findingIn(play, 'caution', played, record.at, what)];
    }
    const other = play.steps.find(({ step }) => cuesOf(step).includes(cue));
    const place = own || other === undefined ? 'too early in its step' : `and belongs to “${other.step.title}”`;
    const what = `${words(cue)} was called out of order: in “${played.step.title}”, ${place}.`;
    return [findingIn(play, 'out-of-order', played, record.at, what)];
  });
}

function isMisplaced({ record: { taken, heard, meaning } }: Call): boolean {
  return !taken && heard !== NOT_CALLED && meaning !== undefined && meaning.cues.length > 0;
}

/** Needles called before what they are to be called after. */
function needlesTooSoon(play: Play, played: PlayedStep): Finding[] {
  const { step, progress } = played;
  const [reading] = progress.readings;
  if (reading === undefined) return [];
  const before = (at: Ms | undefined, what: string): Finding[] =>
    at === undefined || at <= reading.start ? [] : [findingIn(play, 'out-of-order', played, reading.start, what)];
  switch (step.kind) {
    case 'hold':
      return before(progress.cueAt, 'The first needles were called before everything they wait for was called.');
    case 'event':
      return before(progress.outcome?.at, 'The needles were called before the moment they belong to.');
    case 'reading':
      return step.test === 'pre-start-fill' && controlsAt(play.cab, reading.start).engine
        ? [
            findingIn(
              play,
              'out-of-order',
              played,
              reading.start,
              'The needles were called after the engine was started.',
            ),
          ]
        : [];
    case 'confirm':
    case 'build':
    case 'observe':
    case 'items':
      return [];
  }
}

function closedLate(play: Play, played: PlayedStep): Finding[] {
  const { repeatBecause, readings } = played.progress;
  const at = readings[0]?.start;
  if (repeatBecause !== 'reading-late' || at === undefined) return [];
  return [
    findingIn(
      play,
      'late',
      played,
      at,
      'The needles were called too long after the hold was over, and it had to be repeated.',
    ),
  ];
}

/** The plan says it at the service brake test: do not drive on a failed check. */
function droveOnAFail(play: Play, played: PlayedStep): Finding[] {
  if (played.step.test !== 'service-brake-test') return [];
  const failed = failedBefore(play, played);
  const moved = movedIn(play, played, played.to);
  if (failed === undefined || moved === undefined) return [];
  const what = `A caution was skipped: the rig was driven after “${failed.step.title}” had failed.`;
  return [findingIn(play, 'caution', played, moved, what)];
}
