import { placeOfLast, withMark } from './callouts.ts';
import type { ActionName } from './chart.ts';
import { cuesIn, type CalloutEvent, type CheckEvent } from './event.ts';
import { brief, dropMeasurement, endEarly, goBack, skipStep, stillNeeded, type Turn } from './flow.ts';
import { hear, hearWarnings, hearWhileAsking } from './hear.ts';
import { lastItems, takeBackItems } from './hear-items.ts';
import { afterAbsence, backFromAbsence } from './heed.ts';
import { announcements, countsAloud, runningHold } from './hold.ts';
import { without } from '../units/without.ts';
import { currentStep } from './needs.ts';
import { isOutcome } from './outcome.ts';
import { ask, PAIR_MS } from './readings.ts';
import { ofNeedle } from './bare-number.ts';
import { amend, confirm, correct, deny, reject, takeUnconfirmed } from './restate.ts';
import { changedProgress, changedState, type CheckState } from './state.ts';
import { askAgain, askWhose, disowned, owned, strangeCue, unowned } from './whose.ts';

type Act = (state: CheckState, turn: Turn) => CheckState;

/** An action that only a callout calls for. */
function onCallout(act: (state: CheckState, event: CalloutEvent, say: Turn['say']) => CheckState): Act {
  return (state, { event, say }) => (event.type === 'callout' ? act(state, event, say) : state);
}

/** What the chart's actions do to the gathered data, and what they say. */
export const ACTIONS: Readonly<Record<ActionName, Act>> = {
  hear: onCallout(hear),
  hearWhileAsking: onCallout(hearWhileAsking),
  heed: onCallout((state, event, say) => {
    const cue = strangeCue(state, event);
    // Nobody is asked in a pause: it may be anybody's talk, and the operator elsewhere.
    if (cue !== undefined) return askWhose(state, cue, event, () => undefined, hearWarnings);
    const heeded = hearWarnings(state, event, say);
    return heeded === state ? tellPaused(state, event, say) : heeded;
  }),
  tellPaused: onCallout(tellPaused),
  correct: onCallout((state, heard, say) => {
    if (lastItems(state).length > 0)
      return takeBackItems(state, heard.meaning?.command === 'no' ? 'no' : 'correction', say);
    const event = ofNeedle(state, heard);
    if (event === undefined) {
      say({ type: 'not-here', command: 'correction' });
      return state;
    }
    return event.meaning?.command === 'no' && event.meaning.reading === undefined
      ? reject(state, event, say)
      : isPlainCue(state, event)
        ? hear(state, withoutCommand(event), say)
        : correct(state, event, say);
  }),
  amend: onCallout((state, heard, say) => {
    const event = ofNeedle(state, heard) ?? heard;
    return isPlainCue(state, event) ? hearWhileAsking(state, withoutCommand(event), say) : amend(state, event, say);
  }),
  deny: onCallout(deny),
  confirm: (state, { event, say }) => {
    const { pending } = state;
    if (pending === undefined || mayAnswer(state, pending.reading.callouts, event)) return confirm(state, say);
    return ask(state, pending, say);
  },
  takeUnconfirmed: (state, { say }) => takeUnconfirmed(state, say),
  decline: onCallout((state, { meaning }, say) => {
    say({ type: 'not-here', ...(meaning?.command === undefined ? {} : { command: meaning.command }) });
    return state;
  }),
  repeatSaid: (state, { say }) => {
    for (const answer of state.said.slice(-1)) say(answer);
    return state;
  },
  sayAgain: (state, { say }) => {
    for (const answer of state.said.slice(-1)) say({ type: 'again', answer });
    return state;
  },
  tellListening: onCallout((state, { meaning }, say) => {
    say({ type: 'listens', how: meaning?.command === 'listen-push' ? 'when-pressed' : 'openly' });
    return state;
  }),
  own: whenAsked(owned),
  disown: whenAsked(disowned),
  unown: (state, { say }) => unowned(state, say),
  tellTime: (state, { say }) => {
    const hold = runningHold(currentStep(state), state.progress, state.start.rig);
    if (hold === undefined) say({ type: 'not-here', command: 'how-long' });
    else if (state.now >= hold.due) say({ type: 'call-needles', again: true });
    else say({ type: 'time-left', seconds: Math.ceil((hold.due - state.now) / 1000), asked: true });
    return state;
  },
  goBack: (state, { say }) => goBack(state, say),
  askSkipReason: (state, { say }) => {
    const step = currentStep(state);
    if (step !== undefined) say({ type: 'ask-skip-reason', step });
    return state;
  },
  skip: onCallout((state, { meaning, heard }, say) => skipStep(state, reasonWords(meaning?.reason ?? heard), say)),
  // In a recording nobody can be asked for the reason; in a live check the operator has gone on with the step.
  abandonSkip: (state, { say }) => (state.start.asking === 'assume' ? skipStep(state, 'no reason given', say) : state),
  pause: (state, { say }) => {
    say({ type: 'paused' });
    return changedState(dropMeasurement(state, 'paused'), { pausedAt: state.now });
  },
  resume: (state, { say }) => {
    say({ type: 'resumed' });
    return state.whose === undefined ? sayWhereWeAre(afterPause(state), say) : askAgain(state, afterPause, say);
  },
  askNote: (state, { say }) => {
    say({ type: 'ask-note' });
    return changedState(state, { notingSince: state.now });
  },
  takeNote: (state, { event, say }) => {
    say({ type: 'note-taken' });
    const callouts = withMark(state.callouts, placeOfLast(state), { taken: true, note: true });
    const noted = changedState(state, { callouts });
    // A note is free, but what goes wrong, or against what is measured, is not overheard.
    if (event.type !== 'callout') return noted;
    const cue = strangeCue(noted, event);
    return cue === undefined ? hearWarnings(noted, event, say) : askWhose(noted, cue, event, say, hearWarnings);
  },
  askStop: (state, { say }) => {
    say({ type: 'ask-stop' });
    // A check that is then not stopped goes on without a "resume".
    return state.phase === 'paused' ? afterPause(state) : state;
  },
  stop: (state, { say }) => endEarly(state, true, say),
  goOn: (state, { say }) => {
    say({ type: 'going-on' });
    return state;
  },
  passTime,
  lose: (state, { event, say }) => {
    if (event.type !== 'interrupted') return state;
    const next = dropMeasurement(state, event.why);
    const step = currentStep(next);
    if (
      next !== state &&
      step !== undefined &&
      next.progress.repeatBecause !== undefined &&
      event.why !== 'page-closed'
    ) {
      say({ type: 'repeat', step, because: event.why });
    }
    return next;
  },
  welcome: (state, { event, say }) => {
    if (event.type !== 'resumed') return state;
    const back = backFromAbsence(state, event);
    if (back.phase === 'paused') {
      say({ type: 'paused' });
      return back;
    }
    say({ type: 'resumed' });
    return sayWhereWeAre(back, say);
  },
  endCheck: (state, { say }) => endEarly(state, false, say),
};

/** No question has begun to sound so soon after the words that it is about. Ours, no source. */
const SOONEST_ANSWER_MS = 300;

/** False for an answer that was begun before the question about these callouts could be heard. */
function mayAnswer({ callouts, start }: CheckState, about: readonly number[], event: CheckEvent): boolean {
  if (start.asking !== 'ask' || event.type !== 'callout' || event.source !== 'voice') return true;
  const asked = Math.max(...about.map((index) => callouts[index]?.end ?? 0));
  return event.at >= asked + SOONEST_ANSWER_MS;
}

/** An answer to "was that you?". */
function whenAsked(then: (state: CheckState, say: Turn['say']) => CheckState) {
  return (state: CheckState, { event, say }: Turn): CheckState => {
    const { whose } = state;
    if (whose === undefined || mayAnswer(state, [whose.callout], event)) return then(state, say);
    say({ type: 'whose', cue: whose.cue });
    return state;
  };
}

/** A press in a pause was meant; what is said in one may be anybody's talk. */
function tellPaused(state: CheckState, { source }: CalloutEvent, say: Turn['say']): CheckState {
  if (source !== 'voice') say({ type: 'paused' });
  return state;
}

/** "Correction, engine started": a cue that nothing is replaced by counts as it is. */
function isPlainCue(state: CheckState, event: CalloutEvent): boolean {
  const cues = cuesIn(event);
  return event.meaning?.reading === undefined && cues.length > 0 && !cues.some((cue) => isOutcome(state, cue));
}

function withoutCommand(event: CalloutEvent): CalloutEvent {
  return event.meaning === undefined ? event : { ...event, meaning: without(event.meaning, 'command') };
}

function afterPause(state: CheckState): CheckState {
  return afterAbsence(state, state.now - (state.pausedAt ?? state.now));
}

function sayWhereWeAre(state: CheckState, say: Turn['say']): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  const { repeatBecause, cues, readings } = state.progress;
  if (repeatBecause !== undefined && readings.length === 0) say({ type: 'repeat', step, because: repeatBecause });
  else if (cues.length > 0 || readings.length > 0) stillNeeded(state, say);
  else return brief(state, step, say);
  return state;
}

/** Says what is due by now: the count of a hold (only its latest word, if several are), the call for a missing circuit. */
function passTime(state: CheckState, { event, say }: Turn): CheckState {
  const { progress, start } = state;
  const step = currentStep(state);
  const hold = state.pending !== undefined ? undefined : runningHold(step, progress, start.rig);
  let next = progress;
  if (hold !== undefined) {
    const all = announcements(hold, countsAloud(state));
    const passed = all.filter(({ at }) => at <= event.at).length;
    const said = all[passed - 1];
    if (passed > progress.announced && said !== undefined) {
      next = changedProgress(next, { announced: passed });
      if (said.say === 'left') say({ type: 'time-left', seconds: Math.ceil((hold.due - event.at) / 1000) });
      else say({ type: 'call-needles', ...(said.at > hold.due ? { again: true } : {}) });
    }
  }
  const { half } = next;
  if (half !== undefined && !half.asked && half.reading.end + PAIR_MS <= event.at) {
    say({ type: 'missing-circuit', circuit: half.reading.primary === undefined ? 'primary' : 'secondary' });
    next = changedProgress(next, { half: { ...half, asked: true } });
  }
  return next === progress ? state : changedState(state, { progress: next });
}

function reasonWords(reason: string): string {
  return reason.trim().replaceAll('-', ' ');
}
