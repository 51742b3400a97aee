import { describe, expect, it } from 'vitest';
import { DEFAULT_SETTINGS, readSettings, smallStore } from '../../../src/running/settings.ts';
import { DEMO_RIGS, readRigs } from '../../../src/ui/start/rigs.ts';

describe('what a device remembers', () => {
  it('takes defaults for whatever is missing, of another kind or out of range', () => {
    const read = readSettings({ theme: 'neon', rate: 99, voice: 'yes', operator: 'M. Lindqvist' });
    expect(read).toEqual({ ...DEFAULT_SETTINGS, rate: 1.6, operator: 'M. Lindqvist' });
    expect(readSettings('broken')).toEqual(DEFAULT_SETTINGS);
  });

  it('keeps a setting for the visit when site data is blocked', () => {
    const store = smallStore(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    expect(store.get('settings')).toBeUndefined();
    store.set('settings', { theme: 'night' });
    expect(store.get('settings')).toEqual({ theme: 'night' });
  });

  it('offers the demo rigs when nothing usable is stored, and leaves broken entries out', () => {
    expect(readRigs(undefined)).toEqual(DEMO_RIGS);
    expect(readRigs([{ id: 'x' }])).toEqual(DEMO_RIGS);
    // Whoever removed them all does not get the invented ones back.
    expect(readRigs([])).toEqual([]);
    expect(readRigs([{ id: 'brush-12', name: 'Brush 12', unit: 'kPa' }, 7]).map((rig) => rig.name)).toEqual([
      'Brush 12',
    ]);
  });
});
