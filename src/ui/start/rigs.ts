import { readRig } from '../../judging/read-rig.ts';
import type { RigSettings } from '../../judging/result.ts';

/** The invented rigs that come with the app; the user edits them or adds their own. */
export const DEMO_RIGS: readonly RigSettings[] = [
  { id: 'engine-31', name: 'Engine 31', unit: 'psi', fitted: { handValve: false, fastIdle: true, trailer: false } },
  { id: 'tender-34', name: 'Tender 34', unit: 'psi', fitted: { handValve: true, fastIdle: true, trailer: false } },
  { id: 'ladder-36', name: 'Ladder 36', unit: 'psi', fitted: { handValve: false, fastIdle: true, trailer: false } },
];

/**
 * Rigs from what was stored: entries that are not rigs are left out. The demo rigs when nothing was stored, or nothing usable; none when
 * every rig was removed.
 */
export function readRigs(stored: unknown): readonly RigSettings[] {
  if (!Array.isArray(stored)) return DEMO_RIGS;
  const kept = stored.filter(isRig);
  return kept.length === 0 && stored.length > 0 ? DEMO_RIGS : kept;
}

function isRig(value: unknown): value is RigSettings {
  return readRig(value, 'stored rig').ok;
}
