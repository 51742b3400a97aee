import type { CalloutRecord } from '../check/state.ts';
import type { Meaning, SpokenReading } from '../grammar/meaning.ts';
import { idInWords, pressureText } from '../answering/written.ts';
import type { Action } from './check-model.ts';

export type Callable = Extract<Action, { do: 'cue' | 'reading' | 'command' | 'items' | 'move' | 'note' }>;

/** The meaning of a press: the same as if it had been said; a note that is typed has none. */
export function meaningOfAction(action: Callable): Meaning | undefined {
  switch (action.do) {
    case 'note':
      return undefined;
    case 'cue':
      return { cues: [action.cue] };
    case 'reading':
      return { cues: [], reading: action.reading, ...(action.correction ? { command: 'correction' } : {}) };
    case 'items':
      return { cues: [], items: action.items, ...(action.correction ? { command: 'correction' } : {}) };
    case 'move':
      return { cues: [], move: action.to };
    case 'command':
      return { cues: [], command: action.command, ...(action.reason === undefined ? {} : { reason: action.reason }) };
  }
}

/** What a press is written down as, where a callout has its words. */
export function actionText(action: Callable): string {
  switch (action.do) {
    case 'note':
      return action.text;
    case 'cue':
      return idInWords(action.cue).toLowerCase();
    case 'reading':
      return `${action.correction ? 'correction, ' : ''}${readingText(action.reading)}`;
    case 'items':
      return `${action.correction ? 'correction, ' : ''}${action.words}`;
    case 'move':
      return action.words;
    case 'command':
      return [action.command, action.reason]
        .filter((part) => part !== undefined)
        .map((part) => idInWords(part).toLowerCase())
        .join(', ');
  }
}

/** `primary 124 psi, secondary 125 psi`. */
export function readingText(reading: SpokenReading): string {
  const parts = (['primary', 'secondary'] as const).flatMap((circuit) => {
    const pressure = reading[circuit];
    return pressure === undefined ? [] : [`${circuit} ${pressureText(pressure)}`];
  });
  return parts.join(', ');
}

/** How the machine treated a callout, for the caption. `asked`: it asks about it, or waits for its other circuit. */
export function takenText(record: CalloutRecord, asked: boolean): string {
  if (record.note === true) return 'kept as a note';
  if (record.meaning === undefined) return 'not part of this step';
  if (!record.taken) return asked ? 'asked back' : 'not taken';
  const { meaning } = record;
  const reading = meaning.reading === undefined ? '' : readingText(meaning.reading);
  const items = (meaning.items ?? []).map(
    ({ item, state, value }) =>
      `${idInWords(item).toLowerCase()} ${value === undefined ? idInWords(state).toLowerCase() : String(value)}`,
  );
  const words = [...items, ...meaning.cues.map((cue) => idInWords(cue).toLowerCase()), reading].filter(
    (part) => part !== '',
  );
  return words.length === 0 ? 'understood' : `understood: ${words.join(', ')}`;
}
