import type { ExaminerEvent } from '../check/event.ts';
import { takesBack } from '../check/denied.ts';
import { itemsInDoubt, judgePlace, placesOf } from '../check/places.ts';
import type { CheckState } from '../check/state.ts';
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
      ...(takesBack(callout) ? { against: true } : {}),
    })),
    steps: Object.fromEntries(
      records.map(({ id, result, progress }) => {
        const at =
          progress.readings[0]?.start ??
          callouts.find((each) => each.step === id && each.meaning?.reading !== undefined)?.at;
        const [against] = progress.strays ?? [];
        return [id, { result, ...(at === undefined ? {} : { at }), ...(against === undefined ? {} : { against }) }];
      }),
    ),
    // A place that was never reached was omitted as a whole.
    places: placesOf(start.plan).map((place) => ({
      title: place.title,
      items: itemsInDoubt(state, place, records.find(({ id }) => id === place.id)?.result ?? judgePlace(state, place)),
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
