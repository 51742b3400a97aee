import type { CoachReport } from './coach.ts';
import type { FindingKind } from './finding.ts';
import { lessonsOf } from './lesson.ts';
import type { LevelId } from './level.ts';
import type { RehearsalSetup } from './rehearsal.ts';
import { epochMs } from '../units/calendar.ts';

/** What is kept of a rehearsal that is over. */
export interface PastRehearsal {
  readonly trainee: string;
  /** ISO 8601. */
  readonly wall: string;
  readonly scenario: string;
  readonly level: LevelId;
  readonly score: number;
  readonly steps: readonly { readonly step: string; readonly score: number }[];
  /** Of each lesson, as they are counted on the sheet. */
  readonly kinds: readonly FindingKind[];
}

export function pastOf(setup: RehearsalSetup, report: CoachReport): PastRehearsal {
  return {
    trainee: setup.trainee,
    wall: setup.wall,
    scenario: setup.scenario.id,
    level: setup.level,
    score: report.score,
    steps: report.steps.map(({ step, score }) => ({ step, score })),
    kinds: lessonsOf(report.findings).map(({ kind }) => kind),
  };
}

/** How a trainee comes along. */
export interface Progress {
  readonly trainee: string;
  /** Scores from the oldest rehearsal to the newest. */
  readonly scores: readonly { readonly wall: string; readonly score: number; readonly level: LevelId }[];
  readonly best: number;
  readonly latest: number;
  /** Mean of the latest three scores less that of the three before them; absent with fewer than six rehearsals. */
  readonly gain?: number;
  /** Rehearsals without a finding. */
  readonly clean: number;
  /** Steps with a mean below 100 in the latest three rehearsals, the weakest first. */
  readonly weakest: readonly { readonly step: string; readonly mean: number }[];
  /** Kinds found in two or more of the latest three rehearsals, the most frequent first. */
  readonly recurring: readonly FindingKind[];
}

const RECENT = 3;

/** The progress of one trainee over past rehearsals in any order; undefined when there are none. */
export function progressOf(past: readonly PastRehearsal[], trainee: string): Progress | undefined {
  const own = past.filter((one) => one.trainee === trainee).sort((a, b) => epochMs(a.wall) - epochMs(b.wall));
  const latest = own.at(-1);
  if (latest === undefined) return undefined;
  const recent = own.slice(-RECENT);
  const before = own.slice(-2 * RECENT, -RECENT);
  return {
    trainee,
    scores: own.map(({ wall, score, level }) => ({ wall, score, level })),
    best: Math.max(...own.map(({ score }) => score)),
    latest: latest.score,
    ...(before.length < RECENT ? {} : { gain: mean(recent.map(scoreOf)) - mean(before.map(scoreOf)) }),
    clean: own.filter(({ kinds }) => kinds.length === 0).length,
    weakest: weakestOf(recent),
    recurring: recurringIn(recent),
  };
}

function weakestOf(recent: readonly PastRehearsal[]): Progress['weakest'] {
  const steps = new Set(recent.flatMap((one) => one.steps.map(({ step }) => step)));
  return [...steps]
    .map((step) => ({
      step,
      mean: mean(recent.flatMap((one) => one.steps.filter((own) => own.step === step).map(scoreOf))),
    }))
    .filter((one) => one.mean < 100)
    .sort((one, other) => one.mean - other.mean);
}

function recurringIn(recent: readonly PastRehearsal[]): FindingKind[] {
  const kinds = new Set(recent.flatMap((one) => one.kinds));
  const often = (kind: FindingKind): number => recent.filter((one) => one.kinds.includes(kind)).length;
  return [...kinds].filter((kind) => often(kind) > 1).sort((one, other) => often(other) - often(one));
}

function scoreOf({ score }: { readonly score: number }): number {
  return score;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}
