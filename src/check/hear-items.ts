import type { SpokenItem } from '../grammar/meaning.ts';
import { without } from '../units/without.ts';
import { waysOf, type Item, type ItemPlace } from '../items/item.ts';
import {
  badWords,
  belowLimit,
  isAnswered,
  leftIn,
  takeBack,
  takeItem,
  type ItemsSaid,
  type Saying,
} from '../items/said.ts';
import { itemsNamed } from '../items/unclear.ts';
import type { ItemWords } from './answer.ts';
import { takenBefore } from './callouts.ts';
import { isLowConfidence } from './doubt.ts';
import type { CalloutEvent } from './event.ts';
import { beginStep, brief, finishPlace, withPlacesJudged, type Say } from './flow.ts';
import { currentStep } from './needs.ts';
import { isPlaceDone, judgePlace, placeOf, placesOf } from './places.ts';
import { markLast } from './readings.ts';
import { changedState, type CheckState } from './state.ts';

interface Heard {
  readonly spoken: SpokenItem;
  readonly item: Item;
}

/**
 * What is said of items, in whatever place, and where the walk goes then. `bad alone`: the words are for something else, a note or a
 * question under way, and only what is bad in them is not overheard.
 */
export function hearItems(state: CheckState, event: CalloutEvent, say: Say, which?: 'bad alone'): CheckState {
  const all = heardIn(state, event);
  const heard = which === undefined ? all : all.filter(isBad);
  const unsure = isLowConfidence(event);
  const isAsked = unsure && state.start.asking === 'ask';
  // A good word that may have been another, or of another thing, is no answer. A bad one is taken: it errs to the safe side, and is read back.
  const trusted = heard.filter((each) => isBad(each) || (!isAsked && isMeant(state, each.item, event.heard)));
  if (trusted.length < heard.length)
    say({ type: 'items-again', said: heard.filter((each) => !trusted.includes(each)).map(wordsOf) });
  const taken = takeAll(state, trusted, sayingOf(event, unsure, unsure && !isAsked), say);
  if (which !== undefined || (isAsked && event.meaning?.move !== undefined)) return taken;
  return event.meaning?.move === undefined ? settle(state, taken, say) : moveOn(taken, event.meaning.move, say);
}

function heardIn({ start }: CheckState, { meaning }: CalloutEvent): readonly Heard[] {
  const items = placesOf(start.plan).flatMap((place) => place.items);
  return (meaning?.items ?? []).flatMap((spoken) => {
    const item = items.find(({ id }) => id === spoken.item);
    return item === undefined ? [] : [{ spoken, item }];
  });
}

/** True for words of something bad. */
export function isBadOf(state: CheckState, event: CalloutEvent): boolean {
  return heardIn(state, event).some(isBad);
}

/**
 * True when good words can only mean this item: it is of this place or the next, or is named by what nothing here is called. “Belts” are seat
 * belts in the cab, and “all lights” there are those of the dash.
 */
function isMeant(state: CheckState, item: Item, heard: string): boolean {
  const { steps } = state.start.plan;
  const near = [steps[state.index], steps[state.index + 1]].map(placeOf);
  if (near.some((place) => place?.items.some(({ id }) => id === item.id))) return true;
  const here = near[0]?.items.flatMap(({ names }) => names) ?? [];
  return item.names.some((name) => isSaid(name, heard) && !here.some((other) => other !== name && isSaid(name, other)));
}

function isSaid(name: string, words: string): boolean {
  return ` ${words.toLowerCase()} `.includes(` ${name} `);
}

function sayingOf({ at, heard, meaning }: CalloutEvent, unsure: boolean, unconfirmed: boolean): Saying {
  return {
    at,
    heard,
    // Words that were hardly heard take nothing back.
    corrects: meaning?.command === 'correction' && !unsure,
    ...(meaning?.reason === undefined ? {} : { reason: meaning.reason.replaceAll('-', ' ') }),
    ...(unconfirmed ? { unconfirmed: true } : {}),
  };
}

function isBad({ spoken, item }: Heard): boolean {
  if (spoken.value !== undefined) return belowLimit(item, spoken.value) !== undefined;
  return waysOf(item).some(({ id }) => id === spoken.state);
}

function wordsOf({ spoken: { state, value }, item }: Heard): ItemWords {
  const way = waysOf(item).find(({ id }) => id === state)?.words[0];
  return { title: item.title, words: value === undefined ? (way ?? state) : String(value) };
}

function takeAll(state: CheckState, heard: readonly Heard[], saying: Saying, say: Say): CheckState {
  let items: ItemsSaid = state.items ?? {};
  const noted: ItemWords[] = [];
  const changed = new Set<string>();
  for (const each of heard) {
    const { spoken, item } = each;
    const before = items[item.id];
    // “All lights working” takes nothing back of one light, and is no answer to what was taken back of it.
    const isOwn = heard.length === 1 || itemsNamed({ items: [item] }, saying.heard).length > 0;
    if (!isOwn && before !== undefined && !isAnswered(before) && !isBad(each)) {
      say({ type: 'items-again', said: [{ title: item.title, words: 'good' }] });
      continue;
    }
    const result = takeItem(item, before, spoken, isOwn ? saying : { ...saying, corrects: false });
    if (result.is === 'sticks') say({ type: 'item-sticks', item: { title: item.title, words: result.held } });
    else if (result.is === 'impossible')
      say({ type: 'item-impossible', title: item.title, value: result.value, max: result.max });
    if (result.is === 'sticks' || result.is === 'unknown') continue;
    items = { ...items, [item.id]: result.said };
    changed.add(item.id);
    if (result.is === 'impossible') continue;
    const words = badWords(item, result.said);
    if (words === undefined || !isBad(each)) noted.push(wordsOf(each));
  }
  if (changed.size === 0) return state;
  const next = markLast(withPlacesJudged(changedState(state, { items }), changed));
  tellBad(next, changed, heard, say);
  const place = placeOf(currentStep(next));
  if (noted.length > 0)
    say({ type: 'items-noted', said: noted, left: place === undefined ? 0 : leftIn(place, items).length });
  return next;
}

/** Every item that is bad now by these words, with its class. */
function tellBad(state: CheckState, changed: ReadonlySet<string>, heard: readonly Heard[], say: Say): void {
  for (const place of placesOf(state.start.plan)) {
    if (!place.items.some(({ id }) => changed.has(id))) continue;
    for (const { id, title, state: is, words, class: isClass } of judgePlace(state, place).items ?? []) {
      const told = changed.has(id) && heard.some((each) => each.item.id === id && isBad(each));
      if (told && is === 'bad' && words !== undefined && isClass !== undefined)
        say({ type: 'item-bad', item: { title, words }, class: isClass });
    }
  }
}

/** A place of which everything was said is left by itself. */
function settle(before: CheckState, state: CheckState, say: Say): CheckState {
  const step = currentStep(state);
  const place = placeOf(step);
  if (step === undefined || place === undefined || state === before) return state;
  if (hasGoneOn(state) || isPlaceDone(state, place)) return finishPlace(state, step, say);
  askOdd(state, place, say);
  const open = (state.start.openDefects ?? []).filter((defect) => isStillAsked(state, place, defect.item));
  if (open.length > 0 && leftIn(place, state.items ?? {}).length === 0)
    say({ type: 'open-defects', defects: open, now: state.start.wall });
  return state;
}

/** A value that can hardly be is asked for again when it is called, and when nothing else is left. */
function askOdd(state: CheckState, place: ItemPlace, say: Say): void {
  const { items = {}, callouts, start } = state;
  const now = callouts.at(-1)?.meaning?.items ?? [];
  const isLast = leftIn(place, items).length === 0;
  const odd = (judgePlace(state, place).items ?? []).filter(
    ({ id, state: is, value }) =>
      is === 'not judged' &&
      value !== undefined &&
      items[id]?.good === true &&
      start.openDefects?.some(({ item }) => item === id) !== true &&
      (isLast || now.some(({ item }) => item === id)),
  );
  if (odd.length > 0) say({ type: 'items-again', said: odd.map(({ title, words = '' }) => ({ title, words })) });
}

/** True when the last words were of the next place alone: whoever speaks has walked on, and is told what was passed over. */
function hasGoneOn({ callouts, start, index }: CheckState): boolean {
  const next = placeOf(start.plan.steps[index + 1])?.items ?? [];
  return (callouts.at(-1)?.meaning?.items ?? []).every(({ item }) => next.some(({ id }) => id === item));
}

function isStillAsked(state: CheckState, place: ItemPlace, item: string): boolean {
  return judgePlace(state, place).items?.some(({ id, state: is }) => id === item && is === 'not judged') === true;
}

/** "Next" leaves the place; "back to …" goes to an earlier one, as far as only places lie between. */
function moveOn(state: CheckState, to: string, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined || placeOf(step) === undefined) {
    say({ type: 'not-here' });
    return state;
  }
  const marked = markLast(state);
  // The last words left the place before by themselves: "next" after them meant that one.
  if (to === 'next') return hasJustLeft(state, step.id) ? brief(marked, step, say) : finishPlace(marked, step, say);
  const { steps } = state.start.plan;
  const index = steps.findIndex(({ id }) => id === to);
  const target = steps[index];
  if (
    target === undefined ||
    index > state.index ||
    steps.slice(index, state.index).some(({ kind }) => kind !== 'items')
  ) {
    say({ type: 'not-here' });
    return state;
  }
  say({ type: 'went-back', step: target });
  const back = changedState(marked, { index, records: marked.records.filter((record) => record.index < index) });
  const left = placeOf(target);
  // What was said of it stands, so that a place with nothing left would be left again at once: it waits for words instead.
  return left !== undefined && isPlaceDone(back, left) ? brief(back, target, say) : beginStep(back, index, say);
}

/** True when the callout before this one said the last item of the place before. */
function hasJustLeft({ callouts }: CheckState, here: string): boolean {
  const now = callouts.at(-1)?.meaning?.items ?? [];
  const last = takenBefore({ callouts });
  return (
    now.length === 0 &&
    last !== undefined &&
    last.step !== here &&
    last.meaning?.items !== undefined &&
    last.meaning.move === undefined
  );
}

/** Items that the last callout before this one spoke of; "correction" alone, right after it, is about them. */
export function lastItems({ callouts }: CheckState): readonly SpokenItem[] {
  const now = callouts.at(-1)?.meaning;
  if (now?.reading !== undefined || (now?.cues.length ?? 0) > 0) return [];
  const last = takenBefore({ callouts });
  return last?.meaning?.items ?? [];
}

/**
 * "Correction" or "scratch that" alone: what was said of those items is taken back and is to be said again. A defect that was called stays in
 * the record, and its item has no answer then; "no" alone asks for it and takes no defect back.
 */
export function takeBackItems(state: CheckState, command: 'no' | 'correction', say: Say): CheckState {
  const spoken = new Set(lastItems(state).map(({ item }) => item));
  const told = placesOf(state.start.plan)
    .flatMap(({ items }) => items)
    .flatMap((item) => {
      const said = state.items?.[item.id];
      if (said === undefined || !spoken.has(item.id)) return [];
      return [{ item, held: badWords(item, said), rest: takeBack(item, said) }];
    });
  if (told.length === 0) return state;
  say({ type: 'items-again', said: told.map(({ item: { title }, held }) => ({ title, words: held ?? 'good' })) });
  const gone = told.filter(({ held }) => held === undefined || command === 'correction');
  const ids = gone.map(({ item: { id } }) => id);
  const kept = Object.fromEntries(gone.flatMap(({ item: { id }, rest }) => (rest === undefined ? [] : [[id, rest]])));
  const items = { ...without(state.items ?? {}, ...ids), ...kept };
  return withPlacesJudged(changedState(state, { items }), new Set(ids));
}
