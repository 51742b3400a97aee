import { appendFileSync, existsSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import type { EngineId } from '../../src/units/engine.ts';
import type { Noise } from './hearing-noises.ts';
import type { SetName } from './hearing-sets.ts';

/** One utterance of what was heard, with times in ms from the onset of what was said. */
export interface HeardLine {
  readonly start: number;
  readonly end: number;
  /** Until when sound had come when it was told. */
  readonly told: number;
  readonly text: string;
  readonly rejected: boolean;
  readonly confidence: number;
  /** Words with their length in ms and their confidence. */
  readonly words: readonly (readonly [word: string, ms: number, confidence: number])[];
  /** What the other ear made of it; `asked`: a check would have asked it. */
  readonly second?: {
    readonly text: string;
    readonly confidence: number;
    readonly engine?: EngineId;
    readonly asked: boolean;
    /** Both say the same, where a check would have asked. */
    readonly agreed?: boolean;
  };
}

/** What one ear made of one thing said: all that the figures of the bench come from. */
export interface Line {
  readonly ear: EngineId;
  readonly set: SetName;
  readonly noise: Noise | 'quiet';
  /** How far the noise is below the speech, in dB; null in quiet. */
  readonly db: number | null;
  readonly seed: number;
  readonly id: string;
  readonly voice: string;
  /** Null for what is not for us. */
  readonly said: string | null;
  readonly rules: readonly string[];
  /** Length of what was said, in ms. */
  readonly length: number;
  readonly heard: readonly HeardLine[];
}

/** Appends to a file of JSON lines, so that a run that is broken off loses nothing. */
export function keepLines(path: string, lines: readonly Line[]): void {
  mkdirSync(dirname(path), { recursive: true });
  appendFileSync(path, lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
}

/** The lines of earlier runs. The same thing in the same noise counts once, as it was heard last. */
export function keptLines(paths: readonly string[]): readonly Line[] {
  const kept = new Map<string, Line>();
  for (const path of paths) {
    if (!existsSync(path)) continue;
    for (const text of readFileSync(path, 'utf8').split('\n')) {
      if (text === '') continue;
      const line = JSON.parse(text) as Line;
      kept.set(JSON.stringify([line.ear, line.set, line.noise, line.db, line.rules, line.id]), line);
    }
  }
  return [...kept.values()];
}
