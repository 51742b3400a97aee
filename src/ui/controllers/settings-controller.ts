import type { ReactiveControllerHost } from 'lit';
import { DEFAULT_SETTINGS, readSettings, type Settings, type SmallStore } from '../../running/settings.ts';
import type { Clock } from '../../units/clock.ts';
import { applyLook } from '../shared/look.ts';

/** The look follows the hour within this. */
const LOOK_EVERY_MS = 60_000;

interface SettingsParts extends Pick<Clock, 'wall' | 'every'> {
  readonly small: SmallStore;
  readonly prefersDark: { readonly now: () => boolean; readonly onChange: (changed: () => void) => void };
}

/** The settings of this device: read, kept, and applied to the look of the page. */
export class SettingsController {
  readonly #host: ReactiveControllerHost;
  #parts: SettingsParts | undefined;
  #now = DEFAULT_SETTINGS;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
  }

  /** The defaults, until they were read. */
  get now(): Settings {
    return this.#now;
  }

  read(parts: SettingsParts): void {
    this.#parts = parts;
    this.#now = readSettings(parts.small.get('settings'));
    parts.prefersDark.onChange(() => this.#look());
    parts.every(LOOK_EVERY_MS, () => this.#look());
    this.#look();
    this.#host.requestUpdate();
  }

  change(change: Partial<Settings>): void {
    this.#now = { ...this.#now, ...change };
    this.#parts?.small.set('settings', this.#now);
    this.#look();
    this.#host.requestUpdate();
  }

  #look(): void {
    if (this.#parts === undefined) return;
    const { prefersDark, wall } = this.#parts;
    applyLook(document.documentElement, this.#now, { dark: prefersDark.now(), hour: new Date(wall()).getHours() });
  }
}
