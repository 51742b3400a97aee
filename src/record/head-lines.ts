import type { CheckEvent } from '../check/event.ts';
import { photosByItem } from '../check/photos.ts';
import type { StepRecord } from '../check/state.ts';
import type { CheckView } from '../check/view.ts';
import type { LogEvent } from './log.ts';
import type { CheckHead, HeadFigure, HeadStep } from './record-store.ts';

type Result = StepRecord['result'];

/** Steps of a check as its head keeps them, with the photos of their items that the events tell of. */
export function headSteps(results: CheckView['results'], events: readonly CheckEvent[] = []): HeadStep[] {
  const photos = photosByItem(events);
  return results.map(({ id, title, verdict, result }) => ({
    id,
    title,
    verdict,
    figures: headFigures(result),
    ...headItems(result, photos),
  }));
}

function headItems(
  { items = [] }: Result,
  photos: ReadonlyMap<string, readonly string[]>,
): Pick<HeadStep, 'defects' | 'repaired' | 'photos'> {
  const defects = items.flatMap(({ id, title, state, words, class: is }) =>
    state === 'bad' && is !== undefined ? [{ item: id, title, words: words ?? 'bad', class: is }] : [],
  );
  const repaired = items.flatMap(({ id, state, words }) => (state === 'good' && words === 'repaired' ? [id] : []));
  const shown = items.flatMap(({ id }) => {
    const ids = photos.get(id);
    return ids === undefined ? [] : [{ item: id, ids }];
  });
  return {
    ...(defects.length === 0 ? {} : { defects }),
    ...(repaired.length === 0 ? {} : { repaired }),
    ...(shown.length === 0 ? {} : { photos: shown }),
  };
}

function headFigures({ figures, limits }: Result): HeadFigure[] {
  return (Object.keys(figures) as HeadFigure['name'][]).flatMap((name) => {
    const figure = figures[name];
    if (figure === undefined) return [];
    const { value, unit } = figure;
    const applied = limits.filter((limit) => limit.figure === name);
    const mins = applied.flatMap(({ min }) => min ?? []);
    const maxes = applied.flatMap(({ max }) => max ?? []);
    const limitUnit = applied[0]?.unit;
    return [
      {
        name,
        value,
        unit,
        ...(mins.length === 0 ? {} : { min: Math.max(...mins) }),
        ...(maxes.length === 0 ? {} : { max: Math.min(...maxes) }),
        ...(limitUnit === undefined ? {} : { limitUnit }),
      },
    ];
  });
}

type OfficersLines = Pick<CheckHead, 'countersigned' | 'nameOnly' | 'remarks'>;

/** What officers have added to a check, as its head keeps it: that of `before`, and that of the events. */
export function officersOf(events: readonly LogEvent[], before: OfficersLines = {}): OfficersLines {
  // Who signed an examination is no officer that has looked at the record.
  const signed = events.filter((event) => event.type === 'countersigned').filter(({ as }) => as === undefined);
  const earlier = before.countersigned ?? [];
  const said = events.flatMap((event) => {
    if (event.type !== 'remark') return [];
    const { officer, text, wall, repair } = event;
    return [{ officer, text, wall, ...(repair === undefined ? {} : { repair }) }];
  });
  return {
    countersigned: [...earlier, ...signed.map(({ officer }) => officer)],
    nameOnly: (earlier.length === 0 || before.nameOnly === true) && signed.every(({ own }) => own === undefined),
    remarks: [...(before.remarks ?? []), ...said],
  };
}
