import { standing } from './chance.ts';
import { digits, wholeSteps } from './digits.ts';
import { groupedBy } from './grouped.ts';
import type { Answer, Finding, Group, OddityKind } from './finding.ts';
import { evenHolds, sameNeedles, samePauses } from './repeats.ts';
import { noEngine, noSpeech, sameSound } from './sounds.ts';
import type { SpokenCheck } from './spoken-check.ts';

/** Something that honest checks hardly ever have: a statement with its statistics, and never an accusation. */
export interface Oddity extends Finding {
  readonly rigName: string;
  readonly operator: string;
  readonly checks: number;
  /** How often honest checks give anything as odd, in so many audits of as many questions, at most. */
  readonly ofAll: number;
  /** What else than an invented record it may come from. */
  readonly orElse: string;
}

export interface OddityReport {
  readonly oddities: readonly Oddity[];
  /** Questions that could be asked, of how many groups of checks. */
  readonly asked: number;
  readonly groups: number;
  /** What could not be asked, and of how many groups. */
  readonly notAsked: readonly { readonly kind: OddityKind; readonly why: string; readonly groups: number }[];
}

/** An audit of honest checks tells an oddity so often, at most. */
export const FALSE_ALARMS = 0.01;
/** The newest checks of a rig and operator; older ones say little of how they are made now. */
const MOST_CHECKS = 60;

const QUESTIONS: readonly ((group: Group) => Answer)[] = [
  wholeSteps,
  digits,
  sameNeedles,
  samePauses,
  evenHolds,
  sameSound,
  noSpeech,
  noEngine,
];

const OR_ELSE: Readonly<Record<OddityKind, string>> = {
  'whole-steps':
    'a dial with fewer marks than the rig’s settings say, or somebody who reads it only to the nearest five',
  digits: 'a dial with fewer marks than the rig’s settings say, or one whose needle sticks',
  'same-needles': 'a dial with fewer marks than the rig’s settings say, or an exercise with given numbers',
  'same-pauses': 'the same check exported under two ids, or a recording that was played for training',
  'even-holds': 'needles that were called by a program, as the demo checks are',
  'same-sound': 'a recording that was played for training, or a fault of the microphone',
  'no-speech': 'a microphone that was covered or far away, or callouts by a signal instead of words',
  'no-engine': 'a headset or device that takes out the noise, or an engine far from the microphone',
};

/**
 * Looks for what honest checks do not have, in the checks of each operator on each rig. All that was looked at together says so much
 * that honest checks give an oddity in at most one of a hundred audits. `breathe` is awaited between groups.
 */
export async function findOddities(
  checks: readonly SpokenCheck[],
  breathe: () => Promise<void> = () => Promise.resolve(),
): Promise<OddityReport> {
  const groups = groupsOf(checks);
  const findings: (Finding & { readonly group: Group })[] = [];
  const unasked = new Map<string, { kind: OddityKind; why: string; groups: number }>();
  for (const group of groups) {
    for (const question of QUESTIONS) {
      await breathe();
      const answer = question(group);
      if (!('notAsked' in answer)) {
        findings.push({ ...answer, group });
        continue;
      }
      const key = `${answer.kind} ${answer.notAsked}`;
      const before = unasked.get(key)?.groups ?? 0;
      unasked.set(key, { kind: answer.kind, why: answer.notAsked, groups: before + 1 });
    }
  }
  const oddities = standing(findings, FALSE_ALARMS).map(({ group, kind, what, expected, chance, ofAll }): Oddity => ({
    kind,
    what,
    expected,
    chance,
    ofAll,
    rigName: group.rigName,
    operator: group.operator,
    checks: group.checks.length,
    orElse: OR_ELSE[kind],
  }));
  return { oddities, asked: findings.length, groups: groups.length, notAsked: [...unasked.values()] };
}

function groupsOf(checks: readonly SpokenCheck[]): Group[] {
  const inOrder = checks.toSorted((a, b) => a.wall.localeCompare(b.wall));
  return groupedBy(inOrder, ({ rigId, operator }) => JSON.stringify([rigId, operator])).map((own) => ({
    rigName: own.at(-1)?.rigName ?? '',
    operator: own.at(-1)?.operator ?? '',
    checks: own.slice(-MOST_CHECKS),
  }));
}

/** An oddity in one plain sentence or two, with its statistics. */
export function oddityLine({ rigName, operator, checks, what, expected, ofAll, orElse }: Oddity): string {
  const who = operator === '' ? rigName : `${rigName}, ${operator}`;
  return `${who}, ${checks} checks: ${what}; expected: ${expected}. Honest checks show as much in ${oneIn(ofAll)} audits. It may also come from ${orElse}.`;
}

function oneIn(chance: number): string {
  if (chance < 1e-9) return 'less than one of a thousand million';
  return `one of ${Math.floor(1 / chance).toLocaleString('en')}`;
}
