import { judgePlace, placesOf } from '../../check/places.ts';
import type { CheckState } from '../../check/state.ts';
import type { DefectClass, Item, ItemPlace } from '../../items/item.ts';
import { isAnswered, type ItemSaid } from '../../items/said.ts';
import type { ItemResult, Source } from '../../judging/result.ts';
import type { Ms } from '../../units/time.ts';
import { COSTS, type Finding, type FindingKind } from '../finding.ts';
import type { Explanations, Explained } from './explain.ts';
import { pictureOf } from './pictures.ts';
import { lookOf, type PaperFault } from './walk.ts';

/** What was rehearsed: the rig on paper, all that was said of it, and what was pointed at and put into a class. */
export interface Walked {
  readonly faults: readonly PaperFault[];
  readonly check: CheckState;
  readonly explained: Explanations;
}

export const CLASS_WORDS: Readonly<Record<DefectClass, string>> = {
  'out-of-service': 'out of service',
  report: 'report it',
};

/** `seen`: a fault, called bad; `missed`: a fault that was not; `false-alarm`: bad on no fault; `passed-over`: nothing was said of it. */
type LineIs = 'good' | 'seen' | 'missed' | 'false-alarm' | 'passed-over';

/** One item on the coach's sheet. */
export interface WalkLine {
  readonly item: string;
  readonly title: string;
  readonly is: LineIs;
  /** What was to be seen, as the drawing describes it. */
  readonly drawn: string;
  /** What was called, in words; absent when nothing was. */
  readonly called?: string;
  /** What the list says of the fault. */
  readonly fault?: { readonly words: string; readonly class: DefectClass; readonly source: Source };
  /** Of a fault that was seen: the way, the class and the spot were right; `undefined` where none was told. */
  readonly named?: boolean;
  readonly classed?: boolean | undefined;
  readonly pointed?: boolean | undefined;
  readonly told?: DefectClass;
}

interface PlaceScore {
  readonly step: string;
  readonly title: string;
  /** 0 to 100. */
  readonly score: number;
  readonly lines: readonly WalkLine[];
}

/** What the coach says of a walk. */
export interface WalkReport {
  /** 0 to 100; 100 only without any finding. */
  readonly score: number;
  readonly places: readonly PlaceScore[];
  /** In the order of the walk. */
  readonly findings: readonly Finding[];
}

/**
 * Compares what was said of each item with what its drawing showed. Score: every place starts at 100 and loses `COSTS` of each finding in
 * it, down to 0. The whole is the mean of the places, rounded down. A skip is no answer to a drawing.
 */
export function coachWalk(walked: Walked): WalkReport {
  const places = placesOf(walked.check.start.plan);
  const late = outOfOrder(walked.check, places);
  const scored = places.map((place) => placeScore(walked, place, late));
  const findings = scored.flatMap((each) => each.findings);
  const mean = scored.reduce((sum, { place: { score } }) => sum + score, 0) / Math.max(1, scored.length);
  return { score: Math.floor(mean), places: scored.map(({ place }) => place), findings };
}

function placeScore(walked: Walked, place: ItemPlace, late: ReadonlySet<string>) {
  const { check, faults, explained } = walked;
  const results = judgePlace(check, place).items ?? [];
  const lines = place.items.map((item) =>
    lineOf({
      item,
      result: results.find(({ id }) => id === item.id),
      fault: faults.find((fault) => fault.item === item.id),
      said: check.items?.[item.id],
      explained: explained[item.id] ?? {},
    }),
  );
  const end = check.callouts.findLast(({ step }) => step === place.id)?.end ?? 0;
  const moment = (id: string): Ms => check.items?.[id]?.at ?? end;
  const found = (kind: FindingKind, at: Ms, what: string): Finding => ({ kind, step: place.id, at, what, curve: [] });
  const findings = [
    ...lines.flatMap((line) => findingsOf(line).map(([kind, what]) => found(kind, moment(line.item), what))),
    ...orderFinding(place, late).map((what) => found('out-of-order', end, what)),
  ];
  const cost = findings.reduce((sum, { kind }) => sum + COSTS[kind], 0);
  return { findings, place: { step: place.id, title: place.title, score: Math.max(0, 100 - cost), lines } };
}

/** “Not fitted” is no answer either, where a drawing shows the part. */
const UNANSWERED = new Set<ItemResult['state'] | undefined>(['skipped', 'not judged', 'not fitted', 'passed over']);

interface ItemSeen {
  readonly item: Item;
  readonly result: ItemResult | undefined;
  readonly fault: PaperFault | undefined;
  readonly said: ItemSaid | undefined;
  readonly explained: Explained;
}

function lineOf({ item, result, fault, said, explained }: ItemSeen): WalkLine {
  const picture = pictureOf(item);
  const drawn = picture?.drawing.looks[lookOf(picture, fault)];
  const isBad = result?.state === 'bad';
  // A value that can hardly be, or words that were taken back, are no answer.
  const isSilent = said === undefined || !isAnswered(said) || UNANSWERED.has(result?.state);
  const called = isSilent && result?.words === undefined ? undefined : (result?.words ?? result?.state);
  const base = {
    item: item.id,
    title: item.title,
    drawn: drawn?.seen ?? '',
    ...(called === undefined ? {} : { called }),
  };
  if (fault === undefined) return { ...base, is: isBad ? 'false-alarm' : isSilent ? 'passed-over' : 'good' };
  const told = { ...base, fault: { words: fault.words, class: fault.class, source: fault.source } };
  if (!isBad) return { ...told, is: 'missed' };
  return {
    ...told,
    is: 'seen',
    named: isNamed(fault, said),
    classed: explained.class === undefined ? undefined : explained.class === fault.class,
    pointed: explained.spot === undefined ? undefined : drawn?.at.includes(explained.spot) === true,
    ...(explained.class === undefined ? {} : { told: explained.class }),
  };
}

/** True when it was called in the way that is drawn, and in no other; a value, when it is the one that the gauge reads. */
function isNamed({ way, value }: PaperFault, said: ItemSaid | undefined): boolean {
  if (said === undefined) return false;
  return way === 'value'
    ? said.value === value && said.bad.length === 0
    : said.bad.length === 1 && said.bad.includes(way);
}

function findingsOf(line: WalkLine): readonly (readonly [FindingKind, string])[] {
  const { title, is, fault, called = 'nothing' } = line;
  if (is === 'passed-over') return [['missing', `${title}: nothing was said of it that says how it is.`]];
  if (is === 'false-alarm') return [['false-alarm', `${title}: called “${called}”; the drawing shows none of it.`]];
  if (fault === undefined) return [];
  const truth = `${title}: ${fault.words}`;
  if (is === 'missed') return [['fault-not-called', `${truth}. Called: ${called}.`]];
  const asIs = CLASS_WORDS[fault.class];
  const told = line.told === undefined ? 'No class was told' : `Told “${CLASS_WORDS[line.told]}”`;
  return [
    ...(line.named === true ? [] : [['wrong-name', `${truth}. Called “${called}”.`] as const]),
    ...(line.classed === true ? [] : [['wrong-class', `${truth}. ${told}; the list says ${asIs}.`] as const]),
    ...(line.pointed === true
      ? []
      : [
          [
            'wrong-spot',
            `${truth}. ${line.pointed === false ? 'Pointed at another place.' : 'Pointed at nowhere.'}`,
          ] as const,
        ]),
  ];
}

function orderFinding({ title, items }: ItemPlace, late: ReadonlySet<string>): readonly string[] {
  const own = items.filter(({ id }) => late.has(id)).map((item) => item.title);
  return own.length === 0 ? [] : [`${title}, out of the order of the walk: ${own.join(', ')}.`];
}

/** Items that were first spoken of out of the order of the walk: the fewest that, left out, leave the rest in order. */
function outOfOrder({ callouts }: Pick<CheckState, 'callouts'>, places: readonly ItemPlace[]): ReadonlySet<string> {
  const order = new Map(places.flatMap(({ items }) => items.map(({ id }) => id)).map((id, index) => [id, index]));
  const spoken = callouts.flatMap(({ meaning, taken }) => {
    if (!taken) return [];
    const said = [...new Set((meaning?.items ?? []).map(({ item }) => item))].filter((id) => order.has(id));
    // What one breath says of several at once, “all lights”, has no order.
    return said.sort((one, other) => (order.get(one) ?? 0) - (order.get(other) ?? 0));
  });
  const first = [...new Set(spoken)];
  const longest: (readonly string[])[] = [];
  for (const id of first) {
    const before = longest.filter((run) => (order.get(run.at(-1) ?? '') ?? -1) < (order.get(id) ?? 0));
    const best = before.reduce<readonly string[]>((most, run) => (run.length > most.length ? run : most), []);
    longest.push([...best, id]);
  }
  const kept = new Set(longest.reduce<readonly string[]>((most, run) => (run.length > most.length ? run : most), []));
  return new Set(first.filter((id) => !kept.has(id)));
}
