import type { ReactiveControllerHost } from 'lit';
import { DEFAULT_SETTINGS, readSettings, type Settings, type SmallStore } from '../../running/settings.ts';
import { applyLook } from '../shared/look.ts';

interface SettingsParts {
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
    applyLook(document.documentElement, this.#now, this.#parts?.prefersDark.now() ?? false);
  }
}
