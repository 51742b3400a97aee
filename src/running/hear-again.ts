import { likeness, sideBySide, type Likeness, type Said } from '../audit/compare-hearing.ts';
import { hearClips, hearRecording, type BeginHearing, type ClipToHear } from './second-hearing.ts';
import { listensFor } from '../check/listens-for.ts';
import { advance, startCheck } from '../check/machine.ts';
import { CheckSession } from './check-session.ts';
import type { CalloutRecord, CheckState } from '../check/state.ts';
import type { Recording } from '../hearing/wav.ts';
import type { ChainedStore } from '../record/chained-store.ts';
import { clipsOf } from '../record/export.ts';
import { checkEvents, type LogFile } from '../record/log.ts';
import type { Work } from '../record/pace.ts';
import { good, problemLine, type Outcome } from '../units/outcome.ts';
import type { Ms } from '../units/time.ts';
import { calloutOf } from './callout-of.ts';
import type { Language } from './language.ts';

/** One callout, as it was taken and as it was heard again. Nothing of it goes into the log. */
export interface HeardAgain {
  /** On the clock of the log; absent for what only the second hearing has. */
  readonly at?: Ms;
  readonly then?: Said;
  readonly now?: Said;
  readonly likeness: Likeness;
  /** Why the sound could not be heard. */
  readonly problem?: string;
}

/** A check that was heard anew from a recording: its callouts beside those of the log, and the check they make. */
export interface CheckHeardAgain {
  readonly lines: readonly HeardAgain[];
  readonly state: CheckState;
}

/** Hears the kept sounds of a log again: that of one entry, or of all. What was listened for then is listened for again. */
export async function hearLogAgain(
  log: LogFile,
  only: number | undefined,
  store: Pick<ChainedStore, 'clip'>,
  language: Language,
  begin: BeginHearing,
  work: Work,
): Promise<Outcome<readonly HeardAgain[]>> {
  const sounds = await clipsOf(store, log);
  const chosen = calloutsOf(log).flatMap((callout) => {
    const sound = sounds.get(callout.entry);
    return sound === undefined || (only !== undefined && callout.entry !== only) ? [] : [{ ...callout, sound }];
  });
  const [start] = checkEvents(log);
  const own = start?.type === 'start' ? language.of(start.plan) : language;
  const clips: ClipToHear[] = [];
  for (const { sound, rules, unit } of chosen) {
    const bytes = await sound();
    if (!bytes.ok) return bytes;
    const ruleset = own.ruleset(rules, unit);
    clips.push({ sound: bytes.value, ruleset, understand: (text) => own.parse(rules, text, unit) });
  }
  const heard = await hearClips(clips, begin, work);
  if (!heard.ok) return heard;
  return good(
    chosen.map(({ at, then }, nth): HeardAgain => {
      const now = heard.value[nth];
      if (now === undefined || !now.ok)
        return { at, then, likeness: 'unheard', ...(now === undefined ? {} : { problem: problemLine(now.problem) }) };
      return { at, then, now: now.value, likeness: likeness(then, now.value) };
    }),
  );
}

/** Does the check of a log once more from an outside recording of it: same plan, limits and rig, the recording's callouts. */
export async function hearRecordingAgain(
  log: LogFile,
  state: CheckState,
  recording: Recording,
  language: Language,
  begin: BeginHearing,
  work: Work,
): Promise<Outcome<CheckHeardAgain>> {
  const { unit } = state.start.rig;
  const own = language.of(state.start.plan);
  const session = await CheckSession.begin(
    // Nobody can answer a recording.
    { ...state.start, asking: 'assume' },
    {
      events: { append: () => Promise.resolve() },
      answers: { say: () => undefined },
      onState: () => undefined,
      onProblem: () => undefined,
    },
  );
  const heard = await hearRecording(
    recording,
    {
      ruleset: () => own.ruleset(listensFor(session.state), unit),
      passed: (now) => session.tick(now),
      async heard(heard) {
        if (heard.rejected || heard.text === '') return;
        const rules = listensFor(session.state);
        await session.submit(calloutOf({ ...heard, source: 'voice' }, rules, unit, own));
      },
    },
    begin,
    work,
  );
  if (!heard.ok) return heard;
  await session.submit({ type: 'end', at: Math.ceil((recording.samples.length * 1000) / recording.rate) });
  const pairs = sideBySide(
    calloutsOf(log).map(({ at, then }) => ({ at, ...then })),
    session.state.callouts.map(saidIn),
  );
  return good({
    state: session.state,
    lines: pairs.map(({ first, second }): HeardAgain => ({
      ...(first === undefined ? {} : { at: first.at, then: first }),
      ...(second === undefined ? {} : { now: second }),
      likeness: likeness(first, second),
    })),
  });
}

function saidIn({ heard, confidence, meaning }: Pick<CalloutRecord, 'heard' | 'confidence' | 'meaning'>): Said {
  return { heard, confidence, ...(meaning === undefined ? {} : { meaning }) };
}

interface LoggedCallout {
  /** Place in the log. */
  readonly entry: number;
  readonly at: Ms;
  readonly then: Said;
  /** What was listened for when it was called. */
  readonly rules: readonly string[];
  readonly unit: CheckState['start']['rig']['unit'];
}

/** Every callout of a log that can be judged, with what was listened for in its moment. */
function calloutsOf(log: LogFile): LoggedCallout[] {
  const [start] = checkEvents(log);
  if (start?.type !== 'start') return [];
  const { unit } = start.rig;
  let { state } = startCheck(start);
  const found: LoggedCallout[] = [];
  for (const [entry, { event }] of log.entries.entries()) {
    if (event.type === 'seal') break;
    if (event.type === 'remark' || event.type === 'countersigned') continue;
    if (event.type === 'callout') {
      const rules = listensFor(state);
      // A check that is over listens for nothing; what came after is heard as anything.
      found.push({ entry, at: event.at, then: saidIn(event), rules: rules.length === 0 ? ['anything'] : rules, unit });
    }
    state = advance(state, event).state;
  }
  return found;
}
