import type { Meaning } from '../grammar/meaning.ts';
import type { OpenDefect } from '../items/open-defect.ts';
import type { ReportReview } from '../items/report-review.ts';
import type { LimitProfile } from '../judging/profile.ts';
import type { RigSettings } from '../judging/result.ts';
import type { EngineId } from '../units/engine.ts';
import type { Ms } from '../units/time.ts';
import type { Plan } from './plan.ts';

export type CalloutSource = 'voice' | 'touch' | 'key' | 'transcript';

/** First event of every log: all that is needed to replay it. Limits are kept whole, so that an audit never depends on today's profile. */
export interface StartEvent {
  readonly type: 'start';
  readonly at: Ms;
  /** ISO 8601 wall time of sample 0; the only wall time besides those of resumes. */
  readonly wall: string;
  readonly plan: Plan;
  /** A limit profile, as read by `readProfile`. */
  readonly profile: LimitProfile;
  readonly rig: RigSettings;
  readonly operator: string;
  /** Open defects of the rig when the check began, from the checks that this device has. */
  readonly openDefects?: readonly OpenDefect[];
  /** The driver's review of the last report, where the profile asks for one; it decides no verdict and closes no defect. */
  readonly review?: ReportReview;
  /** `ask`: a live check; `assume`: nobody can answer, so questions are taken as unconfirmed (recordings, transcripts). */
  readonly asking: 'ask' | 'assume';
  /** How the check is done, where it differs from what logs before it had. */
  readonly settings?: {
    readonly countAloud?: boolean;
    /** Once a step has failed the rig is not moved: what would move it is left out, with that reason. */
    readonly stillAfterFail?: boolean;
    /** Words that the operator had no cause for are asked about: whose they were. */
    readonly asksWhose?: boolean;
    /** The operator is a candidate: the tool listens and times, says nothing, and shows nothing of the outcome before the end. */
    readonly examination?: true;
  };
}

/** One utterance, or one press that stands for it. */
export interface CalloutEvent {
  readonly type: 'callout';
  /** Onset of the first word and end of the last. */
  readonly at: Ms;
  readonly end: Ms;
  readonly heard: string;
  readonly confidence: number;
  readonly source: CalloutSource;
  /** Who said it, in a transcript, where it was not the operator: such words mean nothing to the check, but trouble in them is flagged. */
  readonly voice?: string;
  /** Undefined when the words mean nothing in this step: kept in the log, shown, never judged. */
  readonly meaning?: Meaning;
  readonly engine?: EngineId;
  /** What another engine heard in the same sound, where it was asked, and whether both say the same. */
  readonly second?: { readonly heard: string; readonly confidence: number; readonly engine: EngineId };
  readonly agreed?: boolean;
  /** Id of the audio clip in the record. */
  readonly clip?: string;
  /** SHA-256 of that clip's bytes, hex: binds the sound to the log, and outlives it. */
  readonly clipDigest?: string;
}

/** The cues of a callout, in the order spoken; none where it means nothing. */
export function cuesIn({ meaning }: { readonly meaning?: Meaning | undefined }): readonly string[] {
  return meaning?.cues ?? [];
}

/** The sample clock has passed the deadline that the state asked for (`nextDeadline`). */
interface TimeEvent {
  readonly type: 'time';
  readonly at: Ms;
}

/** Something broke the measurement: the microphone or some sound was lost, the device slept, the page was killed. Holds and windows are repeated. */
interface InterruptedEvent {
  readonly type: 'interrupted';
  readonly at: Ms;
  readonly why: 'microphone-lost' | 'sound-lost' | 'slept' | 'page-closed' | 'engine-lost';
}

export interface ResumedEvent {
  readonly type: 'resumed';
  readonly at: Ms;
  readonly wall: string;
}

/** The engine died and was replaced. The sound went on and is heard again, so nothing is repeated. */
interface EngineRestartedEvent {
  readonly type: 'engine-restarted';
  readonly at: Ms;
  readonly engine: EngineId;
}

/**
 * A sound of the cab that the sound alone suggests: a mark for whoever reads the log, beside the operator's own callout. It is never
 * answered and never decides.
 */
export interface SoundEvent {
  readonly type: 'sound';
  /** When it began. */
  readonly at: Ms;
  /** A tone that holds, as of a low-air buzzer; a burst of air, as of a valve or a dryer. */
  readonly kind: 'steady-tone' | 'air-burst';
}

/** What the examiner put down by touch while a candidate did the check. It is never answered and never decides. */
export interface ExaminerEvent {
  readonly type: 'examiner';
  readonly at: Ms;
  /** A remark. */
  readonly text?: string;
  /** Whether the candidate stated the limit of a required part; the last word on it counts. */
  readonly limit?: { readonly part: string; readonly stated: boolean };
  /** What the examiner saw of a required part; the last word on it counts, `as heard` takes it back. */
  readonly mark?: { readonly part: string; readonly state: 'done' | 'said' | 'omitted' | 'as heard' };
}

/** A picture of an item of the walk, taken by touch. It is never answered and never decides. */
export interface PhotoEvent {
  readonly type: 'photo';
  readonly at: Ms;
  readonly item: string;
  /** Id of the picture in the record, among the clips. */
  readonly clip: string;
  /** SHA-256 of its bytes, hex, as that of a sound. */
  readonly clipDigest?: string;
}

/** A photo was taken back: its picture is given up, and that there was one stays. */
interface PhotoBackEvent {
  readonly type: 'photo-back';
  readonly at: Ms;
  readonly clip: string;
}

/** No more input will come (end of a recording): what is pending is settled, the rest is incomplete. */
interface EndEvent {
  readonly type: 'end';
  readonly at: Ms;
}

export type CheckEvent =
  | StartEvent
  | CalloutEvent
  | TimeEvent
  | InterruptedEvent
  | ResumedEvent
  | EngineRestartedEvent
  | SoundEvent
  | ExaminerEvent
  | PhotoEvent
  | PhotoBackEvent
  | EndEvent;

export type KeptOnly = SoundEvent | ExaminerEvent | PhotoEvent | PhotoBackEvent;

/** True for what a log only keeps: it moves no check and is never answered. */
export function isKeptOnly(event: CheckEvent): event is KeptOnly {
  return ['sound', 'examiner', 'photo', 'photo-back'].includes(event.type);
}
