import { cueWords } from '../check/cue-words.ts';
import type { Pressure } from '../units/pressure.ts';

/** `cut-out` -> `Cut out`: how an id of the plans is shown when the grammar has no phrase for it. */
export function idInWords(id: string): string {
  const words = cueWords(id);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A number as dials are read: at most one decimal, no trailing zero. */
export function plainNumber(value: number): string {
  return String(Math.round(value * 10) / 10);
}

/** `125 psi`. */
export function pressureText(pressure: Pressure): string {
  return `${plainNumber(pressure.value)} ${pressure.unit}`;
}
