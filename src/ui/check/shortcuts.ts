import type { Action, CheckModel } from '../../running/check-model.ts';

/** The keys of the Check screen, as the "?" list shows them. */
export const SHORTCUTS: readonly { readonly keys: string; readonly what: string }[] = [
  {
    keys: 'Space',
    what: 'hold to talk (push-to-talk), let go when said; so does the other key chosen in the settings',
  },
  { keys: 'O', what: 'listen openly, or only while you hold to talk' },
  { keys: '0–9', what: 'begin to enter the needles; Tab to the other one, Enter takes them' },
  { keys: 'Shift + 1–9', what: 'press the first, second, … cue of the step' },
  { keys: 'Y / N', what: 'answer a question' },
  { keys: 'C', what: 'correct the last needles' },
  { keys: 'A', what: 'say again' },
  { keys: 'L', what: 'how long left' },
  { keys: 'P', what: 'pause, resume' },
  { keys: 'B', what: 'go back one step' },
  { keys: 'S', what: 'skip the step (asks why)' },
  { keys: 'X', what: 'stop the check (asks once)' },
  { keys: 'Esc', what: 'close the number pad' },
  { keys: '?', what: 'this list' },
];

export type Shortcut =
  | { readonly kind: 'act'; readonly action: Action }
  | { readonly kind: 'enter'; readonly correction: boolean; readonly first: string }
  /** From open listening to push-to-talk, or back. */
  | { readonly kind: 'listening' }
  | { readonly kind: 'help' };

/** What a key press stands for now; undefined when it means nothing here. */
export function shortcutFor(
  event: Pick<KeyboardEvent, 'key' | 'code' | 'shiftKey'>,
  model: CheckModel,
): Shortcut | undefined {
  if (event.key === '?') return { kind: 'help' };
  const digit = /^(?:Digit|Numpad)(\d)$/.exec(event.code)?.[1];
  if (digit !== undefined) {
    if (!event.shiftKey) return { kind: 'enter', correction: false, first: digit };
    const cue = model.cues[Number(digit) - 1];
    return cue === undefined ? undefined : { kind: 'act', action: { do: 'cue', cue: cue.cue } };
  }
  if (event.key.toLowerCase() === 'o') return { kind: 'listening' };
  if (event.key.toLowerCase() === 'c') return { kind: 'enter', correction: true, first: '' };
  const command = COMMAND_KEYS[event.key.toLowerCase()];
  if (event.key.toLowerCase() === 'p') return act(model.paused ? 'resume' : 'pause');
  if ((command === 'yes' || command === 'no') && model.question === undefined) return undefined;
  return command === undefined ? undefined : act(command);
}

type CommandName = Extract<Action, { do: 'command' }>['command'];

const COMMAND_KEYS: Readonly<Record<string, CommandName>> = {
  y: 'yes',
  n: 'no',
  a: 'say-again',
  l: 'how-long',
  b: 'go-back',
  s: 'skip',
  x: 'stop-check',
};

function act(command: CommandName): Shortcut {
  return { kind: 'act', action: { do: 'command', command } };
}
