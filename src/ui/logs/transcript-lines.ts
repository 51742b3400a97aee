import type { CalloutRecord, CheckState } from '../../check/state.ts';
import type { LogFile } from '../../record/log.ts';
import type { Ms } from '../../units/time.ts';
import { takenText } from '../../running/said.ts';

const CIRCUITS = ['primary', 'secondary'] as const;

/** A callout as the transcript shows it. */
export interface TranscriptLine {
  /** Place in the log. */
  readonly entry: number;
  readonly at: Ms;
  readonly heard: string;
  /** 0 to 1. */
  readonly confidence: number;
  readonly source: CalloutRecord['source'];
  readonly step: string;
  /** How it was treated, in words. */
  readonly taken: string;
  /** Its needles were corrected later. */
  readonly corrected: boolean;
  /** Id of its sound, when the log names one. */
  readonly clip?: string;
}

/** Every callout of a judged log, in order. */
export function transcriptLines(log: Pick<LogFile, 'entries'>, state: CheckState): TranscriptLine[] {
  const { callouts, start } = state;
  const heard = log.entries.flatMap(({ event }, entry) =>
    event.type === 'callout' ? [{ entry, clip: event.clip }] : [],
  );
  const corrected = correctedCallouts(state);
  return callouts.map((callout, at) => {
    const { entry, clip } = heard[at] ?? { entry: -1 };
    return {
      entry,
      at: callout.at,
      heard: callout.heard === '' ? '(speech)' : callout.heard,
      confidence: callout.confidence,
      source: callout.source,
      step: start.plan.steps.find(({ id }) => id === callout.step)?.title ?? callout.step,
      taken: corrected.has(at) ? 'corrected' : takenText(callout, false),
      corrected: corrected.has(at),
      ...(clip === undefined ? {} : { clip }),
    };
  });
}

/** Sounds of the cab that the sound alone suggests, in words; proposals, whatever made them. */
const SOUND_WORDS: Readonly<Record<string, string>> = {
  'steady-tone': 'a steady tone begins, as of a low-air buzzer',
  'air-burst': 'a burst of air, as of a valve or a dryer',
};

/** A time mark between the callouts. */
export interface SoundMark {
  readonly at: Ms;
  readonly words: string;
}

/** Every proposed sound of a log, in order. */
export function soundMarks(log: Pick<LogFile, 'entries'>): SoundMark[] {
  return log.entries.flatMap(({ event }) =>
    event.type === 'sound' ? [{ at: event.at, words: SOUND_WORDS[event.kind] ?? 'a sound of the cab' }] : [],
  );
}

/** Callouts of needles that stand otherwise in the reading that was made of them. */
function correctedCallouts({ callouts, records }: CheckState): ReadonlySet<number> {
  const found = new Set<number>();
  for (const reading of records.flatMap(({ progress }) => progress.readings)) {
    for (const at of reading.callouts) {
      const said = callouts[at]?.meaning?.reading;
      if (said === undefined) continue;
      if (CIRCUITS.some((circuit) => said[circuit] !== undefined && said[circuit].value !== reading[circuit]?.value))
        found.add(at);
    }
  }
  return found;
}
