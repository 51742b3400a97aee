import type { KeptRehearsal } from '../../record/record-store.ts';
import { LEVELS } from '../../rehearsal/level.ts';
import type { PastRehearsal } from '../../rehearsal/progress.ts';
import { KIND_WORDS } from './kind-words.ts';

/** A past rehearsal as it is kept. */
export type Past = PastRehearsal & KeptRehearsal;

/** Those of what was kept that this build can show. */
export function readPast(kept: readonly KeptRehearsal[]): readonly Past[] {
  return kept.filter(isPast).sort((one, other) => Date.parse(other.wall) - Date.parse(one.wall));
}

function isPast(kept: KeptRehearsal): kept is Past {
  const { trainee, wall, scenario, level, score, steps, kinds } = kept as Partial<Record<keyof Past, unknown>>;
  return (
    typeof trainee === 'string' &&
    typeof wall === 'string' &&
    Number.isFinite(Date.parse(wall)) &&
    typeof scenario === 'string' &&
    LEVELS.some((each) => each === level) &&
    typeof score === 'number' &&
    Array.isArray(steps) &&
    steps.every(isStep) &&
    Array.isArray(kinds) &&
    kinds.every((kind) => typeof kind === 'string' && Object.hasOwn(KIND_WORDS, kind))
  );
}

function isStep(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  const { step, score } = value as Partial<Record<string, unknown>>;
  return typeof step === 'string' && typeof score === 'number';
}
