import { readRig } from '../../judging/read-rig.ts';
import type { RigSettings } from '../../judging/result.ts';

/** The invented rigs that come with the app; the user edits them or adds their own. */
export const DEMO_RIGS: readonly RigSettings[] = [
  { id: 'engine-31', name: 'Engine 31', unit: 'psi', fitted: { handValve: false, fastIdle: true, trailer: false } },
  { id: 'tender-34', name: 'Tender 34', unit: 'psi', fitted: { handValve: true, fastIdle: true, trailer: false } },
  { id: 'ladder-36', name: 'Ladder 36', unit: 'psi', fitted: { handValve: false, fastIdle: true, trailer: false } },
];

/** Rigs from what was stored: entries that are not rigs are left out; the demo rigs when nothing is left. */
export function readRigs(stored: unknown): readonly RigSettings[] {
  const kept = Array.isArray(stored) ? stored.filter(isRig) : [];
  return kept.length === 0 ? DEMO_RIGS : kept;
}

function isRig(value: unknown): value is RigSettings {
  return readRig(value, 'stored rig').ok;
}
