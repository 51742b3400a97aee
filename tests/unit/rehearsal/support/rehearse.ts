import { readdirSync, readFileSync } from 'node:fs';
import type { Scenario } from '../../../../src/airsystem/scenario.ts';
import { readScenario } from '../../../../src/airsystem/scenario.ts';
import type { Plan } from '../../../../src/check/plan.ts';
import planJson from '../../../../src/check/plans/full-cab-check.json' with { type: 'json' };
import type { LimitProfile } from '../../../../src/judging/profile.ts';
import profileJson from '../../../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import type { CoachReport } from '../../../../src/rehearsal/coach.ts';
import { coach } from '../../../../src/rehearsal/coach.ts';
import type { Omission } from '../../../../src/rehearsal/omission.ts';
import type { Rehearsal, RehearsalSetup } from '../../../../src/rehearsal/rehearsal.ts';
import { performScripted } from '../../../../src/rehearsal/scripted-trainee.ts';

const FOLDER = new URL('../../../../src/airsystem/scenarios/', import.meta.url);

function open(json: unknown, where: string): Scenario {
  const read = readScenario(json, where);
  if (!read.ok) throw new Error(read.problem.what);
  return read.value;
}

function json(id: string): object {
  return JSON.parse(readFileSync(new URL(`${id}.json`, FOLDER), 'utf8')) as object;
}

const ALL_IDS = readdirSync(FOLDER).map((file) => file.replace('.json', ''));
/** Scenarios with a slip in measuring, and those of rigs and faults. */
export const SLIP_IDS = ALL_IDS.filter((id) => id.startsWith('slip-'));
export const SCENARIO_IDS = ALL_IDS.filter((id) => !SLIP_IDS.includes(id));

export function scenario(id: string): Scenario {
  return open(json(id), id);
}

/** Engine 31 with other faults. */
export function engine31(...faults: object[]): Scenario {
  return open({ ...json('engine-31-healthy'), id: 'engine-31-with-faults', faults }, 'engine-31-with-faults');
}

export function setupOf(played: Scenario, more: Partial<RehearsalSetup> = {}): RehearsalSetup {
  return {
    scenario: played,
    level: 'silent',
    plan: planJson as unknown as Plan,
    profile: profileJson as unknown as LimitProfile,
    trainee: 'P. Serrano',
    wall: '2026-05-04T07:30:00Z',
    ...more,
  };
}

export interface Rehearsed {
  readonly rehearsal: Rehearsal;
  readonly report: CoachReport;
}

/** The scripted trainee's whole check and what the coach says of it. */
export function rehearse(setup: RehearsalSetup, ...omissions: Omission[]): Rehearsed {
  const rehearsal = performScripted(setup, omissions);
  return { rehearsal, report: coach(rehearsal) };
}

export function failedSteps({ steps }: CoachReport): string[] {
  return steps.filter(({ verdict }) => verdict === 'fail').map(({ step }) => step);
}

/** Kind and step of each finding. */
export function found({ findings }: CoachReport): string[] {
  return findings.map(({ kind, step }) => `${kind} ${step}`);
}
