import type { LogEvent } from './log.ts';

export const LOG_NAME = 'log.json';

/** The name of a clip in an export: that of the place of its entry, whatever the log calls it. */
export function clipName(place: number, event?: Pick<LogEvent, 'type'>): string {
  const number = String(place).padStart(4, '0');
  return event?.type === 'photo' ? `photos/${number}.jpg` : `clips/${number}.wav`;
}

/** The place in the name of a clip, whether or not its entry has one of that kind; not a number in any other name. */
export function placeOfClip(name: string): number {
  return Number(/^(?:clips\/(\d{4,6})\.wav|photos\/(\d{4,6})\.jpg)$/.exec(name)?.slice(1).find(Boolean) ?? Number.NaN);
}
