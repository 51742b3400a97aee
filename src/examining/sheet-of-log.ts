import type { CheckState } from '../check/state.ts';
import type { ChainedStore } from '../record/chained-store.ts';
import type { Clips } from '../record/contents.ts';
import { dataAddress } from '../record/data-address.ts';
import type { LogFile } from '../record/log.ts';
import { clipsOf } from '../record/export.ts';
import { judgeLog } from '../record/judged.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { AIR_BRAKE_EXAM } from './rules.ts';
import { sheetHtml } from './sheet-html.ts';

/** The examiner’s sheet of a check that is kept; a `Problem` where its log is not there or cannot be replayed. */
export async function sheetOfKept(store: Pick<ChainedStore, 'log' | 'clip'>, check: string): Promise<Outcome<string>> {
  const log = await store.log(check);
  if (log === undefined) return bad('This device keeps no log of it.', check, 'Look for it under Logs.');
  const judged = judgeLog(log, check);
  return judged.ok ? good(await sheetOfLog(log, judged.value.state, await clipsOf(store, log))) : judged;
}

/** The examiner's sheet of a log, with the sounds that are kept of it, by their place in the log. */
async function sheetOfLog(log: Pick<LogFile, 'entries'>, state: CheckState, sounds: Clips): Promise<string> {
  const events = log.entries.map(({ event }) => event);
  const heard = await Promise.all(
    [...sounds].map(async ([place, sound]) => {
      const event = events[place];
      const bytes = await sound();
      return event?.type === 'callout' && bytes.ok
        ? [{ from: event.at, to: event.end, play: dataAddress(bytes.value, 'audio/wav') }]
        : [];
    }),
  );
  const clips = heard.flat();
  return sheetHtml(state, AIR_BRAKE_EXAM, {
    examiner: events.filter((event) => event.type === 'examiner'),
    remarks: events.flatMap((event) => (event.type === 'remark' ? [`${event.officer}: ${event.text}`] : [])),
    signed: events.flatMap((event) =>
      event.type === 'countersigned' && event.as !== undefined
        ? [{ as: event.as, name: event.officer, wall: event.wall }]
        : [],
    ),
    sound: (at) => clips.find(({ from, to }) => from <= at && at <= to),
  });
}
