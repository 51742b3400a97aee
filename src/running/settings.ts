import { GAINS, type Gain } from '../hearing/gain.ts';
import { TALK_LEVELS, type TalkLevel } from '../answering/level.ts';

const THEMES = ['auto', 'hours', 'day', 'night', 'red'] as const;

/** What the user set for this device. */
export interface Settings {
  /** `auto` follows the device, `hours` the time of day. */
  readonly theme: (typeof THEMES)[number];
  /** Factor on all text, 1 to 1.6. */
  readonly textScale: number;
  readonly voice: boolean;
  /** 0 to 1. */
  readonly volume: number;
  /** Of speech, 0.7 to 1.6; 1 is the voice's own. */
  readonly rate: number;
  /** How much is said; see `answering/level.ts`. */
  readonly talk: TalkLevel;
  readonly countAloud: boolean;
  readonly pushToTalk: boolean;
  /** A key that talks besides the space bar (a foot switch types one), by its `KeyboardEvent.code`; none when empty. */
  readonly talkKey: string;
  readonly echoCancellation: boolean;
  /** Id of the microphone; the system chooses when empty. */
  readonly microphone: string;
  readonly gain: Gain;
  /** Speaks with the system's own voice, through which it hears less. */
  readonly systemVoice: boolean;
  /** The tool speaks into a headset, where no microphone hears it. */
  readonly headset: boolean;
  /** Waits longer for the second needle. */
  readonly slowSpeaker: boolean;
  /** Which ear listens: `auto`, `embedded`, or the id of a model on this device. */
  readonly ear: string;
  /** Single-key shortcuts on the Check screen. */
  readonly keys: boolean;
  /** The tour was offered, and taken or declined. */
  readonly toured: boolean;
  /** Last used, offered again. */
  readonly operator: string;
  readonly rigId: string;
  readonly planId: string;
  readonly profileId: string;
}

export const DEFAULT_SETTINGS: Settings = {
  theme: 'auto',
  textScale: 1,
  voice: true,
  volume: 1,
  rate: 1,
  talk: 'short',
  countAloud: true,
  pushToTalk: false,
  talkKey: '',
  echoCancellation: true,
  microphone: '',
  gain: '0',
  systemVoice: false,
  headset: false,
  slowSpeaker: false,
  ear: 'auto',
  keys: true,
  toured: false,
  operator: '',
  rigId: '',
  planId: '',
  profileId: '',
};

/** As much of `localStorage` as is used. */
interface Strings {
  getItem(name: string): string | null;
  setItem(name: string, value: string): void;
}

/** Small values of this device, by name; `localStorage` where it is allowed, else for this visit only. */
export interface SmallStore {
  get(name: string): unknown;
  set(name: string, value: unknown): void;
}

export function smallStore(storage: () => Strings): SmallStore {
  const visit = new Map<string, unknown>();
  return {
    get(name) {
      if (visit.has(name)) return visit.get(name);
      try {
        const text = storage().getItem(`two-needles.${name}`);
        return text === null ? undefined : (JSON.parse(text) as unknown);
      } catch {
        return undefined;
      }
    },
    set(name, value) {
      visit.set(name, value);
      try {
        storage().setItem(`two-needles.${name}`, JSON.stringify(value));
      } catch {
        // Site data is blocked or full: the setting lasts for this visit.
      }
    },
  };
}

/** Settings from what was stored; whatever is missing or of another kind is the default. */
export function readSettings(stored: unknown): Settings {
  if (typeof stored !== 'object' || stored === null) return DEFAULT_SETTINGS;
  const known = Object.entries<unknown>({ ...DEFAULT_SETTINGS }).map(([name, fallback]): [string, unknown] => {
    const value: unknown = (stored as Record<string, unknown>)[name];
    return [name, typeof value === typeof fallback ? value : fallback];
  });
  const read = Object.fromEntries(known) as unknown as Settings;
  return {
    ...read,
    theme: THEMES.includes(read.theme) ? read.theme : 'auto',
    gain: GAINS.includes(read.gain) ? read.gain : DEFAULT_SETTINGS.gain,
    talk: TALK_LEVELS.includes(read.talk) ? read.talk : DEFAULT_SETTINGS.talk,
    textScale: within(read.textScale, 1, 1.6),
    volume: within(read.volume, 0, 1),
    rate: within(read.rate, 0.7, 1.6),
  };
}

function within(value: number, least: number, most: number): number {
  return Number.isFinite(value) ? Math.min(most, Math.max(least, value)) : least;
}
