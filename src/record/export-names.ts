/** A checkable file of each name; a clip is named after the place of its entry, whatever the log calls it. */
export const LOG_NAME = 'log.json';
export const clipName = (place: number): string => `clips/${String(place).padStart(4, '0')}.wav`;
