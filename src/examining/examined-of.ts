import type { ExaminerEvent } from '../check/event.ts';
import { judgePlace, placesOf } from '../check/places.ts';
import type { CalloutRecord, CheckState } from '../check/state.ts';
import type { ItemPlace } from '../items/item.ts';
import { tellsOfTrouble } from '../items/trouble.ts';
import { unclearAt } from '../items/unclear.ts';
import type { ItemResult } from '../judging/result.ts';
import type { Examined } from './sheet.ts';

/** What a check, live or replayed from its log, shows an examiner, with what the examiner put down. */
export function examinedOf(state: CheckState, examiner: readonly ExaminerEvent[] = []): Examined {
  const { callouts, records, start } = state;
  return {
    callouts: callouts.map((callout) => ({
      at: callout.at,
      heard: callout.heard,
      cues: callout.meaning?.cues ?? [],
      items: (callout.meaning?.items ?? []).map(({ item }) => item),
      taken: callout.taken,
      ...(isAgainst(callout) ? { against: true } : {}),
    })),
    steps: Object.fromEntries(
      records.map(({ id, result, progress }) => {
        const at =
          progress.readings[0]?.start ??
          callouts.find((each) => each.step === id && each.meaning?.reading !== undefined)?.at;
        return [id, { result, ...(at === undefined ? {} : { at }) }];
      }),
    ),
    // A place that was never reached was omitted as a whole.
    places: placesOf(start.plan).map((place) => ({
      title: place.title,
      items: doubtful(
        state,
        place,
        (records.find(({ id }) => id === place.id)?.result ?? judgePlace(state, place)).items,
      ),
    })),
    profile: start.profile.id,
    limits: Object.fromEntries(
      examiner.flatMap(({ at, limit }) => (limit === undefined ? [] : [[limit.part, { at, stated: limit.stated }]])),
    ),
    marks: Object.fromEntries(
      examiner.flatMap(({ at, mark }) =>
        mark === undefined ? [] : [[mark.part, mark.state === 'as heard' ? undefined : { at, state: mark.state }]],
      ),
    ),
  };
}

/** True for words that take back what was called right before them: “no, the chocks aren't in yet”. */
function isAgainst({ meaning, heard, note }: CalloutRecord): boolean {
  if (note === true) return false;
  if (meaning === undefined) return tellsOfTrouble(heard);
  const { command, cues, reading } = meaning;
  return (command === 'no' || command === 'correction') && cues.length === 0 && reading === undefined;
}

/** The items of a place; one called good of which something else was said and not understood is not done. */
function doubtful(
  { callouts, start }: CheckState,
  place: ItemPlace,
  items: readonly ItemResult[] = [],
): readonly ItemResult[] {
  const unclear = unclearAt(place, callouts, start.asking === 'ask').items;
  return items.map((item) =>
    item.state === 'good' && (unclear[item.id] ?? []).length > 0 ? { ...item, state: 'not judged' } : item,
  );
}
