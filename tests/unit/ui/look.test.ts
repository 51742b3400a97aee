import { describe, expect, it } from 'vitest';
import { DEFAULT_SETTINGS, type Settings } from '../../../src/running/settings.ts';
import { applyLook } from '../../../src/ui/shared/look.ts';

function lookOf(theme: Settings['theme'], dark: boolean, hour: number): string | undefined {
  const set: Record<string, string> = {};
  const root = {
    dataset: {} as Record<string, string>,
    style: { setProperty: (name: string, to: string) => (set[name] = to) },
  };
  applyLook(root as unknown as HTMLElement, { ...DEFAULT_SETTINGS, theme }, { dark, hour });
  return root.dataset['theme'];
}

describe('the look', () => {
  it.each([
    ['auto', false, 23, 'day'],
    ['auto', true, 12, 'night'],
    ['hours', true, 12, 'day'],
    ['hours', false, 6, 'red'],
    ['hours', false, 19, 'red'],
    ['red', false, 12, 'red'],
  ] as const)('that is set to %s is, with a dark system %s and at %i, %s', (theme, dark, hour, look) => {
    expect(lookOf(theme, dark, hour)).toBe(look);
  });
});
