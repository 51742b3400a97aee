import type { RepeatReason } from '../check/answer.ts';
import type { StartEvent } from '../check/event.ts';
import type { Step } from '../check/plan.ts';
import type { CheckView } from '../check/view.ts';
import { placeRule } from '../items/items-grammar.ts';
import { waysOf } from '../items/item.ts';
import { openDefectLine } from '../items/open-defect.ts';
import { idInWords } from '../answering/written.ts';
import type { CheckModel, CueButton, Question } from './check-model.ts';
import type { Language } from './language.ts';

const REPEATED: Record<RepeatReason, string> = {
  'microphone-lost': 'The microphone was lost, so this is measured again.',
  'sound-lost': 'Some sound was lost, so this is measured again.',
  slept: 'The device slept or its time of day was changed, so this is measured again.',
  'page-closed': 'The page was closed, so this is measured again.',
  'engine-lost': 'Hearing stopped, so this is measured again.',
  'reading-late': 'The closing needles came later than any hold may last, so the hold is repeated.',
  'conditions-late': 'The last condition was called too long after the needles, so the hold begins with new needles.',
  paused: 'The check was paused, so this is measured again.',
  contradicted: 'A callout said that a condition does not hold, so this is measured again.',
  'needles-late': 'The needles came too long after the moment, so this is measured again: the moment and its needles.',
  'outcome-early': 'The outcome was called too soon, before a cue that it depends on, so it is done again.',
  'unfit-start': 'A hold cannot begin with those needles, so it begins with new ones.',
};

/** The model of the Check screen. When the check is done it shows the last step of the plan. */
export function checkModel(
  view: CheckView,
  {
    plan,
    profile,
    rig: { unit },
    openDefects,
    wall,
  }: Pick<StartEvent, 'plan' | 'profile' | 'rig' | 'openDefects' | 'wall'>,
  language: Pick<Language, 'hints' | 'skipReasons'>,
): CheckModel {
  const step = view.step ?? plan.steps.at(-1);
  if (step === undefined) throw new Error('a plan has at least one step');
  const question = questionOf(view, language.skipReasons);
  const bar = barOf(view);
  const { start, end } = view.clock;
  const finished = finishedOf(view);
  const note = profile.tests.find(({ test }) => test === step.test)?.note;
  return {
    step,
    ...(note === undefined ? {} : { note }),
    number: Math.min(view.index + 1, view.total),
    count: view.total,
    unit,
    cues: buttonsOf(step, view),
    wantsReading: wantsNeedles(view),
    readingNext:
      view.phase === 'listening' &&
      view.readingNeeded &&
      view.neededOutcomes.length === 0 &&
      !step.cues.some((cue) => view.needed.includes(cue)),
    needles: view.latest ?? {},
    ...placeModel(step, view, openDefects, wall),
    defects: defectsOf(view),
    ...(question === undefined ? {} : { question }),
    ...(view.fork === undefined ? {} : { fork: view.fork }),
    ...(bar === undefined ? {} : { bar }),
    ...(start === undefined ? {} : { clock: { start, ...(end === undefined ? {} : { end }) } }),
    verdicts: view.results.map(({ id, title, result }) => ({ id, title, result })),
    ...(view.missingCircuit === undefined ? {} : { missing: view.missingCircuit }),
    noting: view.phase === 'noting',
    paused: view.phase === 'paused',
    remarks: remarksOf(view),
    ...(finished === undefined ? {} : { finished }),
    sayable: language.hints(sayableNow(view)),
  };
}

/** In the order of the plan, whatever was called already: a button never moves under the thumb. Outcomes stay, since a worse one may follow. */
function buttonsOf(step: Step, { needed, heard }: CheckView): readonly CueButton[] {
  const before = step.cues.filter((cue) => needed.includes(cue) || heard.includes(cue));
  return [...before, ...(step.outcomes ?? []), ...(step.cuesAfter ?? [])].map((cue) => ({
    cue,
    label: idInWords(cue),
    done: heard.includes(cue),
  }));
}

function placeModel(
  { items = [], groups = [] }: Step,
  { place }: CheckView,
  open: StartEvent['openDefects'] = [],
  wall: string,
): Pick<CheckModel, 'place'> {
  if (place === undefined) return {};
  const shown = items.flatMap((item) => {
    const result = place.items.find(({ id }) => id === item.id);
    const defect = open.find((each) => each.item === item.id);
    if (result === undefined) return [];
    const { what, unit, max } = item.measure ?? {};
    return {
      ...{ id: item.id, title: item.title, look: item.look, result, mayLack: item.mayLack === true },
      ways: waysOf(item).map(({ id, words, class: is }) => ({ id, words: words[0] ?? id, class: is })),
      ...(what === undefined || unit === undefined || max === undefined ? {} : { measure: { what, unit, max } }),
      ...(defect === undefined ? {} : { open: openDefectLine(defect, wall), earlier: defect.photos ?? [] }),
    };
  });
  return {
    place: {
      items: shown,
      groups: groups.map(({ names, words, items: all }) => ({
        label: `${names[0] ?? ''} ${words[0] ?? ''}`,
        items: all,
      })),
      left: place.left,
      earlier: place.earlier.map(({ id, title }) => ({ id, title })),
    },
  };
}

/** What is bad of the places that were left; of the place under way its own list tells. */
function defectsOf({ results, place }: CheckView): NonNullable<CheckModel['defects']> {
  const here = new Set(place?.items.map(({ id }) => id));
  const bad = results
    .flatMap(({ result }) => result.items ?? [])
    .filter((item) => item.state === 'bad' && !here.has(item.id));
  return bad.map(({ id, title, words }) => ({ id, title, words: words ?? 'bad' }));
}

/** Grammar rules that are worth a hint now. */
function sayableNow(view: CheckView): string[] {
  switch (view.phase) {
    case 'asking':
      return ['yes', 'no', 'correction'];
    case 'wondering':
    case 'stopping':
      return ['yes', 'no'];
    case 'skipping':
      return ['reasons', 'no'];
    case 'paused':
      return ['resume', 'stop-check'];
    case 'noting':
    case 'done':
      return [];
    case 'listening':
    case 'holding':
    case 'building':
      if (view.place !== undefined && view.step !== undefined) return [placeRule(view.step.id)];
      return [...view.needed, ...view.neededOutcomes, ...(wantsNeedles(view) ? ['readings'] : [])];
  }
}

function wantsNeedles(view: CheckView): boolean {
  return view.readingNeeded || view.hold !== undefined || view.window !== undefined;
}

function questionOf(view: CheckView, skipReasons: readonly string[]): Question | undefined {
  if (view.phase === 'stopping') return { kind: 'stop' };
  if (view.phase === 'skipping') {
    return {
      kind: 'skip-reason',
      reasons: skipReasons.map((reason) => ({ cue: reason, label: idInWords(reason), done: false })),
    };
  }
  if (view.whose !== undefined) return { kind: 'whose', words: idInWords(view.whose).toLowerCase() };
  if (view.question === undefined) return undefined;
  const { reading, because, fails } = view.question;
  return { kind: 'reading', reading, because, ...(fails === undefined ? {} : { reason: fails.reason }) };
}

function barOf(view: CheckView): CheckModel['bar'] {
  if (view.hold !== undefined) return { kind: 'hold', start: view.hold.start, due: view.hold.due };
  return view.window === undefined ? undefined : { kind: 'window', start: view.window.start };
}

function finishedOf(view: CheckView): CheckModel['finished'] {
  if (view.phase !== 'done' || view.verdict === undefined) return undefined;
  const { start, end } = view.clock;
  const seconds = start === undefined || end === undefined ? undefined : (end - start) / 1000;
  return { verdict: view.verdict, stopped: view.stopped, ...(seconds === undefined ? {} : { seconds }) };
}

function remarksOf(view: CheckView): string[] {
  const remarks: string[] = [];
  if (view.repeatBecause !== undefined) remarks.push(REPEATED[view.repeatBecause]);
  if (view.missingCircuit !== undefined) remarks.push(`The ${view.missingCircuit} needle is still missing.`);
  if (view.phase === 'noting') remarks.push('Say the note, which is kept as sound, or type it.');
  return remarks;
}
