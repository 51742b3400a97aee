import type { Ms } from '../units/time.ts';

/** The voice name of the operator's cues. */
export const OPERATOR = 'operator';

/** A WebVTT transcript of what the operator said; a file that `hear` reads. Times in ms from the start of the sound. */
export function writeTranscript(
  cues: readonly { readonly at: Ms; readonly end: Ms; readonly text: string; readonly voice?: string }[],
): string {
  const blocks = cues.map(({ at, end, text, voice = OPERATOR }) => {
    // An empty line would end the cue.
    const line = text.replace(/\s+/g, ' ').trim();
    return `${timestamp(at)} --> ${timestamp(end)}\n<v ${escape(voice)}>${escape(line)}\n`;
  });
  return `WEBVTT\n\n${blocks.join('\n')}`;
}

function escape(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

function timestamp(ms: Ms): string {
  const whole = Math.max(0, Math.round(ms));
  const pad = (value: number, width: number): string => String(value).padStart(width, '0');
  const hours = pad(Math.floor(whole / 3_600_000), 2);
  const minutes = pad(Math.floor(whole / 60_000) % 60, 2);
  return `${hours}:${minutes}:${pad(Math.floor(whole / 1000) % 60, 2)}.${pad(whole % 1000, 3)}`;
}
