import { judgeAbsence } from './absence.ts';
import { appliedTo } from './applied.ts';
import { assess, worst } from './assess.ts';
import type { Subject } from './assess.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { CIRCUIT_WORDS } from './circuits.ts';
import type { Circuit } from '../units/circuit.ts';
import { differentialEntry } from './differential.ts';
import type { Measurement, TestId } from './measurement.ts';
import { orderContest } from './order.ts';
import type { LimitFigure, TestLimits } from './profile.ts';
import { higherCircuit, latestOf, lowerCircuit, needleEntry } from './readings.ts';
import type { Needles } from './readings.ts';
import type { AppliedLimit, FigureName, RigSettings, StepResult } from './result.ts';
import { EMPTY_SHEET, judgedBy, notJudged } from './sheet.ts';
import type { Sheet } from './sheet.ts';
import { shown } from './wording.ts';

/** A value and the limit that it is held against. */
interface Contest {
  readonly subject: Subject;
  readonly limit: AppliedLimit;
}

/** How a test of one reading is told, and which needles it rests on. */
interface Rule {
  readonly figure: FigureName & LimitFigure;
  /** Needle that the figure shows. */
  readonly shows: 'higher' | 'lower';
  /** `each`: both circuits are held against a limit and the worst decides; `lower`: the lower needle alone. */
  readonly judges: 'each' | 'lower';
  readonly when: string;
}

/**
 * Low-air warning: its sources speak of either circuit falling below the pressure, or of the lowest tank, so the lower
 * needle governs. Governor and spring brakes: their sources name no circuit, so each circuit is judged alone.
 */
const RULES: Readonly<Partial<Record<TestId, Rule>>> = {
  'governor-cut-out': { figure: 'cutOut', shows: 'higher', judges: 'each', when: 'at cut-out' },
  'governor-cut-in': { figure: 'cutIn', shows: 'lower', judges: 'each', when: 'at cut-in' },
  'low-air-warning': { figure: 'warningAt', shows: 'lower', judges: 'lower', when: 'at the low-air warning' },
  'spring-brake-activation': {
    figure: 'activationAt',
    shows: 'lower',
    judges: 'each',
    when: 'at spring brake activation',
  },
};

/** The tests that one reading decides: fills, plain readings, governor, low-air warning, spring brake activation. */
export function judgeSingle(measurement: Measurement, limits: TestLimits | undefined, rig: RigSettings): StepResult {
  const needles = latestOf(measurement.readings);
  if (typeof needles === 'string') return notJudged(needles);
  const absent = judgeAbsence(measurement, needles, limits, rig);
  if (absent !== undefined) return absent;
  const rule = RULES[measurement.test];
  const difference = measurement.test === 'governor-cut-in' ? differentialEntry(measurement, needles, rig) : undefined;
  if (difference !== undefined && difference.figure.value <= 0) {
    return notJudged(
      `Cut-in was called ${shown(-difference.figure.value)} ${needles.unit} above the cut-out of this check, which no governor does; one of the two was misread, so repeat both.`,
      { ...EMPTY_SHEET, entries: [difference] },
    );
  }
  const order = orderContest(measurement, needles, limits, rig);
  const contests: readonly Contest[] = [
    ...CIRCUITS.flatMap((circuit) =>
      contestsOf(limits, 'reading', circuit, [needleSubject(circuit, circuit, '', needles, rig)]),
    ),
    ...(rule === undefined ? [] : contestsOf(limits, rule.figure, rule.figure, ruledSubjects(rule, needles, rig))),
    ...(difference === undefined
      ? []
      : contestsOf(limits, 'differential', 'differential', [
          {
            figure: 'differential',
            label: 'Governor differential',
            value: difference.figure,
            told: (value) => `was ${value}`,
          },
        ])),
    ...(order?.contest === undefined ? [] : [order.contest]),
  ];
  const sheet: Sheet = {
    entries: [
      ...(rule === undefined ? [] : [ruledEntry(rule, needles, rig)]),
      ...(difference === undefined ? [] : [difference]),
      ...CIRCUITS.map((circuit) => needleEntry(circuit, circuit, needles, rig, 'as called')),
    ],
    limits: [...new Set(contests.map(({ limit }) => limit))],
    assessments: contests.flatMap(({ subject, limit }) => assess(subject, limit)),
    missing: [
      ...(isOpenDifferential(measurement, difference)
        ? [`The differential needs ${difference === undefined ? 'the' : 'a judged'} governor cut-out of this check.`]
        : []),
      ...(order?.missing ?? []),
    ],
  };
  const isOpen =
    order?.isOpen === true ||
    (isOpenDifferential(measurement, difference) &&
      limits?.limits.some(({ figure }) => figure === 'differential') === true);
  const isLimited = limits?.belowWarning !== undefined || (limits?.limits ?? []).length > 0;
  return resultOf(measurement.test, needles, sheet, { isLimited, isOpen });
}

/** True where no cut-out that counts is there to take the cut-in from. */
function isOpenDifferential(
  { test, unjudged = [] }: Measurement,
  difference: Sheet['entries'][number] | undefined,
): boolean {
  return test === 'governor-cut-in' && (difference === undefined || unjudged.includes('governor-cut-out'));
}

function resultOf(
  test: TestId,
  needles: Needles,
  sheet: Sheet,
  { isLimited, isOpen }: { readonly isLimited: boolean; readonly isOpen: boolean },
): StepResult {
  const decided = worst(sheet.assessments);
  // A limit that could not be applied leaves the test without a verdict, however well it did against the others.
  if (decided !== undefined && (decided.verdict === 'fail' || !isOpen)) return judgedBy(decided, sheet);
  const called = `Primary ${shown(needles.primary)} ${needles.unit}, secondary ${shown(needles.secondary)} ${needles.unit}`;
  if (test === 'plain-reading') {
    return {
      ...notJudged(`${called}; noted, this step has no limit.`, sheet),
      verdict: 'pass',
      source: { document: 'called by the operator', sure: 'practice' },
    };
  }
  if (isLimited) return notJudged(`${called}. ${sheet.missing.join(' ')}`, sheet);
  return { ...notJudged(`${called}; the profile sets no limit for this.`, sheet), noLimit: true };
}

function contestsOf(
  limits: TestLimits | undefined,
  of: LimitFigure,
  figure: FigureName,
  subjects: readonly Subject[],
): readonly Contest[] {
  return (limits?.limits ?? [])
    .filter((limit) => limit.figure === of)
    .map((limit) => appliedTo(limit, figure))
    .flatMap((limit) => subjects.map((subject) => ({ subject, limit })));
}

function needleSubject(
  figure: FigureName,
  circuit: Circuit,
  when: string,
  needles: Needles,
  rig: RigSettings,
): Subject {
  return {
    figure,
    label: CIRCUIT_WORDS[circuit],
    value: needleEntry(figure, circuit, needles, rig, '').figure,
    told: (value) => `was at ${value} ${when}`.trimEnd(),
  };
}

function ruledSubjects({ figure, judges, when }: Rule, needles: Needles, rig: RigSettings): readonly Subject[] {
  const lower = needles[lowerCircuit(needles)];
  return CIRCUITS.filter((circuit) => judges === 'each' || needles[circuit] === lower).map((circuit) =>
    needleSubject(figure, circuit, when, needles, rig),
  );
}

function ruledEntry({ figure, shows, when }: Rule, needles: Needles, rig: RigSettings): Sheet['entries'][number] {
  const circuit = shows === 'higher' ? higherCircuit(needles) : lowerCircuit(needles);
  return needleEntry(figure, circuit, needles, rig, `the ${shows} needle as called ${when}`);
}
