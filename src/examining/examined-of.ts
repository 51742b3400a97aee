import type { CheckState } from '../check/state.ts';
import type { Examined } from './sheet.ts';

/** What a check, live or replayed from its log, shows an examiner. */
export function examinedOf({ callouts, records, start }: CheckState): Examined {
  return {
    callouts: callouts.map(({ at, meaning, taken }) => ({ at, cues: meaning?.cues ?? [], taken })),
    steps: Object.fromEntries(
      records.map(({ id, result, progress }) => {
        const at =
          progress.readings[0]?.start ??
          callouts.find((each) => each.step === id && each.meaning?.reading !== undefined)?.at;
        return [id, { result, ...(at === undefined ? {} : { at }) }];
      }),
    ),
    places: records.flatMap(({ index, result }) =>
      result.items === undefined ? [] : [{ title: start.plan.steps[index]?.title ?? '', items: result.items }],
    ),
  };
}
