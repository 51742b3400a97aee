import { convert } from '../../judging/compare.ts';
import type { TestId } from '../../judging/measurement.ts';
import type { SoundPrint } from '../../hearing/sound-print.ts';
import { judgeLog, type Judged } from '../../record/judged.ts';
import type { LogFile } from '../../record/log.ts';
import { CIRCUITS, type Circuit } from '../../units/circuit.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import type { Ms } from '../../units/time.ts';

/** A needle as it was called: in which step, the how manieth of its readings, which circuit. */
export interface Needle {
  readonly step: string;
  readonly test: TestId;
  readonly nth: number;
  readonly circuit: Circuit;
  /** As spoken, in `unit`. */
  readonly value: number;
  readonly unit: PressureUnit;
  /** The smallest step of its dial, in `unit`; absent where nobody has said what the dial shows. */
  readonly resolution?: number;
}

/** The sound of one callout, as far as the audit needs it. */
export interface SpokenClip {
  readonly heard: string;
  /** SHA-256 of the clip; in the log even where the clip itself is gone. */
  readonly digest: string;
  /** By what was called: whether the engine ran. */
  readonly engine?: boolean;
  /** Absent where the clip is not there, or was not listened to. */
  readonly print?: SoundPrint;
}

/** What a check says of how it was made: everything that oddities are looked for in. */
export interface SpokenCheck {
  readonly id: string;
  readonly rigId: string;
  readonly rigName: string;
  readonly operator: string;
  /** ISO 8601. */
  readonly wall: string;
  readonly needles: readonly Needle[];
  /** From the end of the first reading of each hold to the onset of the second. */
  readonly holds: readonly Ms[];
  /** From onset to onset of what was called, where the tool itself took the time. */
  readonly gaps: readonly Ms[];
  readonly clips: readonly SpokenClip[];
}

/** Listens to the clip of the entry in that place; undefined when it is not there. */
export type ListenToClip = (place: number) => Promise<SoundPrint | undefined>;

/** The check of a log, or undefined of one that cannot be judged again. Without `listen`, sounds are known by their digests alone. */
export async function spokenCheck(log: LogFile, listen?: ListenToClip): Promise<SpokenCheck | undefined> {
  const judged = judgeLog(log, log.header.check);
  if (!judged.ok) return undefined;
  return { id: log.header.check, ...spokenOf(judged.value.state), clips: await clipsOf(log, listen) };
}

/** The same of a check that was only simulated: without sounds. */
export function spokenOf({ start, records, callouts }: Judged['state']): Omit<SpokenCheck, 'id' | 'clips'> {
  const { rig, plan, operator, wall } = start;
  const needles: Needle[] = [];
  const holds: Ms[] = [];
  // A transcript has the times that somebody wrote down.
  const live = callouts.every(({ source }) => source !== 'transcript');
  for (const { id, index, progress } of records) {
    const step = plan.steps[index];
    if (step === undefined) continue;
    const [before, after] = progress.readings;
    if (step.kind === 'hold' && before !== undefined && after !== undefined && live)
      holds.push(after.start - before.end);
    for (const [nth, reading] of progress.readings.entries()) {
      for (const circuit of CIRCUITS) {
        const called = reading[circuit];
        if (called === undefined) continue;
        const { value, unit } = called;
        const dial = rig.resolution?.[circuit];
        const resolution = dial === undefined ? {} : { resolution: convert(dial.value, dial.unit, unit) };
        needles.push({ step: id, test: step.test, nth, circuit, value, unit, ...resolution });
      }
    }
  }
  const onsets = live ? callouts.map(({ at }) => at) : [];
  const gaps = onsets.slice(1).map((at, nth) => at - (onsets[nth] ?? 0));
  return { rigId: rig.id, rigName: rig.name, operator, wall, needles, holds, gaps };
}

async function clipsOf(log: LogFile, listen: ListenToClip | undefined): Promise<SpokenClip[]> {
  const clips: SpokenClip[] = [];
  let engine: boolean | undefined;
  for (const [place, { event }] of log.entries.entries()) {
    if (event.type !== 'callout') continue;
    const { heard, clipDigest: digest, meaning } = event;
    if (digest !== undefined) {
      const print = await listen?.(place);
      clips.push({
        heard,
        digest,
        ...(engine === undefined ? {} : { engine }),
        ...(print === undefined ? {} : { print }),
      });
    }
    // From the next callout on.
    if (meaning?.cues.includes('engine-started') === true) engine = true;
    if (meaning?.cues.includes('engine-off') === true) engine = false;
  }
  return clips;
}
