import type { Speech } from '../../src/running/live-check.ts';

/** Says nothing, and shows nothing of it. */
export const SILENT_SPEECH: Speech = {
  speak: () => undefined,
  sound: () => undefined,
  operator: () => undefined,
  pass: () => undefined,
  cancel: () => undefined,
  onSpeaking: undefined,
  caption: () => '',
};
