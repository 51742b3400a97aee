import type { AppliedLimit, Figure, ItemResult, Source, StepResult } from '../judging/result.ts';
import { waysOf, type DefectClass, type Item, type ItemPlace } from './item.ts';
import type { OpenDefect } from './open-defect.ts';
import { badWords, belowLimit, isAnswered, type ItemSaid, type ItemsSaid } from './said.ts';
import type { Unclear } from './unclear.ts';

const CALLED: Source = { document: 'called by the operator', sure: 'practice' };

export interface ItemsJudged {
  /** Open defects of the rig from earlier checks. */
  readonly open?: readonly OpenDefect[];
  /** Who does this check, and whether a defect may be closed by the one who opened it. */
  readonly operator: string;
  readonly closedByAnother?: true;
  /** What was said there and not understood. */
  readonly unclear?: Unclear;
}

/**
 * The result of a place on what was said of its items. Silence is no answer: an item of which nothing was said is `passed over`, and the
 * place is `not judged`. One item out of service fails it, whatever else was said; a defect to report makes it `marginal`, and so does what
 * was said of an item and not understood.
 */
export function judgeItems(place: ItemPlace, said: ItemsSaid, context: ItemsJudged): StepResult {
  const { unclear } = context;
  const items = place.items.map((item) => oddValue(item, place, said, judgeItem(item, said[item.id], place, context)));
  const out = items.filter((item) => item.class === 'out-of-service');
  const report = items.filter((item) => item.class === 'report');
  const unanswered = items.filter(
    ({ state }) => state === 'passed over' || state === 'skipped' || state === 'not judged',
  );
  const counts = countWords(items);
  const strays = [
    ...place.items.flatMap(({ id, title }) =>
      (unclear?.items[id] ?? []).map((heard) => `${title}: ${notUnderstood(heard)}`),
    ),
    ...(unclear?.bad ?? []).map(notUnderstood),
  ];
  const flags = [
    ...items.flatMap(({ title, note }) => (note === undefined ? [] : [`${title}: ${note}`])),
    ...strays,
    ...(unclear?.rest ?? []).map(notUnderstood),
  ];
  const rest = {
    ...measured(place, said),
    items,
    source: CALLED,
    ...(flags.length === 0 ? {} : { flags }),
  };
  if (out.length > 0) return { verdict: 'fail', reason: `Out of service: ${listed(out)}. ${counts}`, ...rest };
  const toReport = report.length === 0 ? '' : `To report: ${listed(report)}. `;
  if (unanswered.length > 0)
    return { verdict: 'not judged', reason: `${unansweredWords(items)}. ${toReport}${counts}`, ...rest };
  const values = unjudgedValues(place, said);
  const told = strays.length === 0 ? '' : `${strays.join('; ')}. `;
  if (report.length + strays.length > 0)
    return { verdict: 'marginal', reason: `${toReport}${told}${counts}${values}`, ...rest };
  return { verdict: 'pass', reason: `Called good by the operator. ${counts}${values}`, ...rest };
}

function notUnderstood(heard: string): string {
  return `“${heard}” was said and not understood`;
}

/** Values that no limit was held against: whoever reads it judges them. */
function unjudgedValues({ items }: ItemPlace, said: ItemsSaid): string {
  const told = items.flatMap(({ id, title, measure }) => {
    const value = said[id]?.value;
    if (measure === undefined || value === undefined || measure.limits.length > 0) return [];
    return [`${title} ${String(value)} ${measure.unit}`];
  });
  return told.length === 0 ? '' : ` Held against no limit: ${told.join(', ')}.`;
}

/** A value that differs from others of its kind by more than this share is asked about. Ours, no source. */
const FAR_APART = 2 / 3;

/** An item called good with a value that can hardly be: lower than its lowest, or far from the others of its kind where nothing else limits it. */
function oddValue(item: Item, place: ItemPlace, said: ItemsSaid, result: ItemResult): ItemResult {
  const { measure } = item;
  const value = said[item.id]?.value;
  if (result.state !== 'good' || measure === undefined || value === undefined) return result;
  const called = `${String(value)} ${measure.unit}`;
  const ask = 'say it again, or what is wrong';
  if (value < (measure.min ?? 0))
    return { ...result, state: 'not judged', words: `${called}, below ${String(measure.min)}; ${ask}` };
  if (measure.limits.length > 0) return result;
  const others = place.items
    .filter((other) => other.id !== item.id && other.measure?.what === measure.what)
    .flatMap((other) => said[other.id]?.value ?? [])
    .toSorted((one, other) => one - other);
  const middle = others[Math.floor(others.length / 2)];
  if (middle === undefined || Math.min(value, middle) >= Math.max(value, middle) * FAR_APART) return result;
  return { ...result, state: 'not judged', words: `${called}, and another ${String(middle)}; ${ask}` };
}

function judgeItem(item: Item, said: ItemSaid | undefined, place: ItemPlace, context: ItemsJudged): ItemResult {
  const { id, title } = item;
  const open = context.open?.find((defect) => defect.item === id);
  const notes = [
    ...(said?.corrected ?? []).map((words) => `“${words}” was called before, and corrected`),
    ...(said?.repaired === true && open === undefined && said.corrected === undefined
      ? ['“repaired” was called, and no defect of it was open']
      : []),
    ...(said?.unconfirmed === true ? ['heard badly, and nobody could be asked'] : []),
  ];
  const noted = notes.length === 0 ? {} : { note: notes.join('; ') };
  const base = { id, title, ...noted, ...(said === undefined ? {} : { at: said.at }) };
  const carried = open === undefined ? {} : { class: open.class };
  if (said === undefined) return { ...base, state: 'passed over', ...openWords(open), ...carried };
  const value = said.value === undefined ? {} : { value: { value: said.value, unit: item.measure?.unit ?? '%' } };
  const words = badWords(item, said);
  if (words !== undefined) {
    const found = defectOf(item, said, place);
    return { ...base, state: 'bad', words, ...found, ...value };
  }
  if (said.skipped !== undefined) return { ...base, state: 'skipped', words: said.skipped, ...carried };
  if (said.impossible !== undefined)
    return {
      ...base,
      state: 'not judged',
      words: `${String(said.impossible)} ${item.measure?.unit ?? ''} cannot be; say it again`,
      ...carried,
    };
  if (!isAnswered(said))
    return {
      ...base,
      state: 'not judged',
      words: `“${said.corrected?.at(-1) ?? said.heard}” was taken back; say how it is`,
      ...carried,
    };
  if (open !== undefined && said.repaired !== true)
    return { ...base, state: 'not judged', ...openWords(open), ...carried, ...value };
  if (open !== undefined && context.closedByAnother === true && open.operator === context.operator)
    return { ...base, state: 'not judged', words: `${open.words}; whoever reported it may not close it`, ...carried };
  if (said.absent === true) return { ...base, state: 'not fitted' };
  const onlyValue = said.good !== true && said.repaired !== true;
  if (onlyValue && (item.measure?.limits.length ?? 0) === 0)
    return {
      ...base,
      state: 'not judged',
      words: `no limit for ${item.measure?.what ?? 'it'}; say whether it is good`,
      ...value,
    };
  const repaired = said.repaired === true ? { words: 'repaired' } : {};
  return { ...base, state: 'good', ...repaired, ...value };
}

function openWords(open: OpenDefect | undefined): { readonly words?: string } {
  return open === undefined ? {} : { words: `${open.words}, open since ${open.since.slice(0, 10)}` };
}

/** The class of what is bad, the worst first, with its source. */
function defectOf(
  item: Item,
  said: ItemSaid,
  place: ItemPlace,
): { readonly class: DefectClass; readonly source?: Source } {
  const limit = said.value === undefined ? undefined : belowLimit(item, said.value);
  const found = [...waysOf(item).filter(({ id }) => said.bad.includes(id)), ...(limit === undefined ? [] : [limit])];
  const worst = found.find((each) => each.class === 'out-of-service') ?? found[0];
  const source = worst === undefined ? undefined : place.sources[worst.source];
  return { class: worst?.class ?? 'out-of-service', ...(source === undefined ? {} : { source }) };
}

/** The lowest value of each figure, with its limit. */
function measured({ items, sources }: ItemPlace, said: ItemsSaid): Pick<StepResult, 'figures' | 'limits'> {
  const figures: Partial<Record<string, Figure>> = {};
  const limits: AppliedLimit[] = [];
  for (const { id, measure } of items) {
    const value = said[id]?.value;
    if (measure?.figure === undefined || value === undefined) continue;
    const known = figures[measure.figure];
    if (known !== undefined && known.value <= value) continue;
    figures[measure.figure] = { value, unit: measure.unit, uncertainty: 0 };
    if (known !== undefined) continue;
    for (const { below, source } of measure.limits) {
      const named = sources[source];
      if (named !== undefined) limits.push({ figure: measure.figure, min: below, unit: measure.unit, source: named });
    }
  }
  return { figures, limits };
}

function listed(items: readonly ItemResult[]): string {
  return items.map(({ title, words }) => (words === undefined ? title : `${title} (${words})`)).join(', ');
}

function unansweredWords(items: readonly ItemResult[]): string {
  const of = (state: ItemResult['state'], head: string): string[] => {
    const found = items.filter((item) => item.state === state);
    return found.length === 0
      ? []
      : [`${head}: ${state === 'passed over' ? found.map(({ title }) => title).join(', ') : listed(found)}`];
  };
  return [...of('passed over', 'Passed over'), ...of('skipped', 'Skipped'), ...of('not judged', 'Not judged')].join(
    '. ',
  );
}

/** "12 good, 1 out of service, 2 passed over." */
function countWords(items: readonly ItemResult[]): string {
  const kinds: readonly (readonly [string, (item: ItemResult) => boolean])[] = [
    ['good', ({ state }) => state === 'good'],
    ['not fitted', ({ state }) => state === 'not fitted'],
    ['out of service', (item) => item.class === 'out-of-service'],
    ['to report', (item) => item.class === 'report'],
    ['skipped', (item) => item.state === 'skipped' && item.class === undefined],
    ['passed over', (item) => item.state === 'passed over' && item.class === undefined],
    ['not judged', (item) => item.state === 'not judged' && item.class === undefined],
  ];
  const told = kinds.flatMap(([words, is]) => {
    const count = items.filter(is).length;
    return count === 0 ? [] : [`${String(count)} ${words}`];
  });
  return `${told.join(', ')}.`;
}
