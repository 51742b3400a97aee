import type { Settings } from '../../running/settings.ts';

/** Hours of the day in which *by the hour* is day; outside them it is red. */
const DAY_FROM = 7;
const DAY_TO = 19;

/** What the look depends on beside the settings: whether the system prefers dark, and the hour of the day, 0 to 23. */
export interface Surroundings {
  readonly dark: boolean;
  readonly hour: number;
}

/** Sets theme and text size on the page. */
export function applyLook(root: HTMLElement, settings: Settings, around: Surroundings): void {
  root.dataset['theme'] = themeOf(settings.theme, around);
  root.style.setProperty('--text-scale', String(settings.textScale));
}

function themeOf(theme: Settings['theme'], { dark, hour }: Surroundings): 'day' | 'night' | 'red' {
  switch (theme) {
    case 'auto':
      return dark ? 'night' : 'day';
    case 'hours':
      return hour >= DAY_FROM && hour < DAY_TO ? 'day' : 'red';
    case 'day':
    case 'night':
    case 'red':
      return theme;
  }
}
