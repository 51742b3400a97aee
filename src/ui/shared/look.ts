import type { Settings } from '../../running/settings.ts';

/** Sets theme and text size on the page. `dark` is what the system prefers. */
export function applyLook(root: HTMLElement, settings: Settings, dark: boolean): void {
  root.dataset['theme'] = settings.theme === 'auto' ? (dark ? 'night' : 'day') : settings.theme;
  root.style.setProperty('--text-scale', String(settings.textScale));
}
