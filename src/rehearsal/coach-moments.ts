import type { AirEventKind } from '../airsystem/air.ts';
import type { Ms } from '../units/time.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { findingIn, handsIn, sampleAt, seconds, words } from './play.ts';

/** A callout of a moment, what it calls, what ends it, and how soon it is to be called. */
interface Moment {
  readonly is: AirEventKind;
  readonly endedBy?: AirEventKind;
  readonly words: string;
  readonly within: Ms;
}

/** Times ours, no source: a sound is called at once, needles that begin to rise are seen a little later. */
export const MOMENTS: Readonly<Record<string, Moment>> = {
  'cut-out': { is: 'governor-cut-out', endedBy: 'governor-cut-in', words: 'the governor cut out', within: 2_000 },
  'cut-in': { is: 'governor-cut-in', endedBy: 'governor-cut-out', words: 'the governor cut in', within: 4_000 },
  buzzer: { is: 'buzzer-on', endedBy: 'buzzer-off', words: 'the buzzer sounded', within: 2_000 },
  'valve-popped': { is: 'valve-popped', words: 'the parking valve popped', within: 2_000 },
};
/** Callouts of a moment that did not come, and the moment. */
const ABSENT: Readonly<Record<string, keyof typeof MOMENTS>> = {
  'no-warning': 'buzzer',
  'valve-stayed-in': 'valve-popped',
};
/** A moment that is seen coming may be called this much before it. */
const JUST_BEFORE: Ms = 300;

/** Fanned about 3 s on and 4 s off (common practice of the fire service, no source); shorter than this is too fast to read. */
const LEAST_ON: Ms = 2_000;
const LEAST_OFF: Ms = 3_000;
const PRESSED_PSI = 5;
const FANNED = ['governor-cut-in', 'low-air-warning', 'spring-brake-activation'];

/** A needle that moved more than this in the last 3 s before "settled" had not settled. Ours, no source. */
const UNSETTLED_PSI = 2;
const SETTLED_OVER: Ms = 3_000;

/** What was called when: before it happened, too long after it, and how fast the pedal was pumped. */
export function coachMoments(play: Play): Finding[] {
  return play.steps.flatMap((played) => [
    ...coachMoment(play, played),
    ...coachSettled(play, played),
    ...coachFanning(play, played),
  ]);
}

function coachMoment(play: Play, played: PlayedStep): Finding[] {
  const { outcome } = played.progress;
  if (outcome !== undefined && ABSENT[outcome.cue] !== undefined) return coachAbsence(play, played, outcome);
  const moment = outcome === undefined ? undefined : MOMENTS[outcome.cue];
  if (played.step.kind !== 'event' || outcome === undefined || moment === undefined) return [];
  const { cue, at } = outcome;
  const past = play.cab.happened.filter((event) => event.at <= at + JUST_BEFORE);
  const last = past.findLast(({ kind }) => kind === moment.is || kind === moment.endedBy);
  if (last?.kind !== moment.is) {
    const next = play.cab.happened.find((event) => event.kind === moment.is && event.at > at);
    const when = next === undefined ? 'which did not happen' : `which happened ${seconds(next.at - at)} later`;
    return [findingIn(play, 'early', played, at, `${words(cue)} was called before ${moment.words}, ${when}.`)];
  }
  // What came while the step before was still under way is called when this one begins.
  const late = at - Math.max(last.at, played.from);
  if (late <= moment.within) return [];
  const what = `${words(cue)} was called ${seconds(late)} after ${moment.words}; call it within ${seconds(moment.within)}.`;
  return [findingIn(play, 'late', played, at, what)];
}

/** What came after all was called as not coming. */
function coachAbsence(
  play: Play,
  played: PlayedStep,
  { cue, at }: { readonly cue: string; readonly at: Ms },
): Finding[] {
  const moment = MOMENTS[ABSENT[cue] ?? ''];
  const past = play.cab.happened.filter((event) => event.at <= at);
  const last = past.findLast(({ kind }) => kind === moment?.is || kind === moment?.endedBy);
  if (moment === undefined || last?.kind !== moment.is) return [];
  const what = `${words(cue)} was called, and ${moment.words} ${seconds(at - last.at)} before.`;
  return [findingIn(play, 'wrong-reading', played, last.at, what)];
}

/** "Settled" is called when the needles stand; else the hold measures their settling. */
function coachSettled(play: Play, played: PlayedStep): Finding[] {
  const call = played.calls.find(({ record }) => record.taken && record.meaning?.cues.includes('settled') === true);
  if (played.step.kind !== 'hold' || call === undefined) return [];
  const { at } = call.record;
  const before = sampleAt(play.cab, at - SETTLED_OVER);
  const now = sampleAt(play.cab, at);
  const moved = Math.max(Math.abs(now.primary - before.primary), Math.abs(now.secondary - before.secondary));
  if (moved > UNSETTLED_PSI) {
    const what = `“settled” was called while a needle still moved ${moved.toFixed(1)} psi in ${seconds(SETTLED_OVER)}.`;
    return [findingIn(play, 'early', played, at, what)];
  }
  const figures = played.record?.result.figures;
  // A needle that lags for minutes rises through any hold; that is a fault of the rig.
  const lags = play.faults.flatMap((fault) => (fault.kind === 'lagging-gauge' ? [fault.circuit] : []));
  const risen = (['primary', 'secondary'] as const)
    .filter((circuit) => !lags.includes(circuit))
    .map((circuit) => figures?.[`${circuit}Drop`])
    .find((drop) => drop !== undefined && -drop.value > drop.uncertainty);
  if (risen === undefined) return [];
  const what = `A needle rose ${(-risen.value).toFixed(0)} ${risen.unit} during the hold: “settled” was called before the needles stood.`;
  return [findingIn(play, 'early', played, at, what)];
}

function coachFanning(play: Play, played: PlayedStep): Finding[] {
  if (!FANNED.includes(played.step.test)) return [];
  const strokes: { readonly down: boolean; readonly at: Ms }[] = [];
  // Once the moment is called, the fanning may already be that of the next step.
  for (const { at, controls } of handsIn(play.cab, played.from, played.progress.outcome?.at ?? played.to)) {
    const down = controls.pedalPsi >= PRESSED_PSI;
    if (strokes.length === 0 ? down : strokes.at(-1)?.down !== down) strokes.push({ down, at });
  }
  // The last press ends when what was waited for has come, and so may be short.
  const lastPress = strokes.findLastIndex(({ down }) => down);
  const fast = strokes.slice(0, lastPress).flatMap(({ down, at }, index) => {
    const lasted = (strokes[index + 1]?.at ?? at) - at;
    return lasted < (down ? LEAST_ON : LEAST_OFF) ? [{ down, at, lasted }] : [];
  });
  const [first] = fast;
  if (first === undefined) return [];
  const times = fast.length === 1 ? 'once' : `${fast.length} times`;
  const what = `The pedal was ${first.down ? 'held' : 'left'} for only ${seconds(first.lasted)}, too fast ${times} to read the needles; about 3 s on and 4 s off.`;
  return [findingIn(play, 'fanned-too-fast', played, first.at, what)];
}
