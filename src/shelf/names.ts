/** What lies on a shelf, by its name: see FORMAT.md. Everything but the index is written once. */
export type ShelfName =
  | { readonly kind: 'check'; readonly station: string; readonly day: string; readonly digest: string }
  | {
      readonly kind: 'head';
      readonly station: string;
      /** Thumbprint of the device's key. */
      readonly device: string;
      /** The place of the seal among all of its key, from 1. */
      readonly number: number;
      readonly day: string;
      /** Of the seal, which is the name of the check. */
      readonly digest: string;
    }
  | (Beside & { readonly kind: 'note' })
  | (Beside & { readonly kind: 'clip' });

interface Beside {
  readonly station: string;
  /** That of the check. */
  readonly day: string;
  readonly check: string;
  /** Of the entry, or of the sound. */
  readonly digest: string;
}

/** The names of a kind: what follows the station. */
export const FOLDERS = { check: 'checks', head: 'heads', note: 'notes', clip: 'clips' } as const;

/** What district officers put beside the stations. */
export const RETENTION = 'retention';

const STATION = /^[a-z0-9][a-z0-9-]{0,39}$/;
const DAY = /^\d{4}-\d{2}-\d{2}$/;
const DIGEST = '[0-9a-f]{64}';
const CHECK = new RegExp(`^(${DIGEST})\\.json$`);
const HEAD = new RegExp(`^(\\d{8})_(\\d{4}-\\d{2}-\\d{2})_(${DIGEST})\\.json$`);
const BESIDE = new RegExp(`^(${DIGEST})_(${DIGEST})\\.(json|wav)$`);
const DEVICE = new RegExp(`^${DIGEST}$`);

/** The name of a station as it begins the names of its objects: small letters, digits, hyphens. */
export function isStation(text: string): boolean {
  return STATION.test(text) && text !== RETENTION;
}

export function isDay(text: string): boolean {
  return DAY.test(text);
}

/** The day of a wall time (ISO 8601), by the device's own clock; a time that is none is of no day. */
export function dayOf(wall: string): string {
  const day = wall.slice(0, 10);
  return DAY.test(day) ? day : '0000-00-00';
}

export function writeName(name: ShelfName): string {
  const folder = `${name.station}/${FOLDERS[name.kind]}`;
  switch (name.kind) {
    case 'check':
      return `${folder}/${name.day}/${name.digest}.json`;
    case 'head':
      return `${folder}/${name.device}/${String(name.number).padStart(8, '0')}_${name.day}_${name.digest}.json`;
    case 'note':
    case 'clip':
      return `${folder}/${name.day}/${name.check}_${name.digest}.${name.kind === 'note' ? 'json' : 'wav'}`;
  }
}

/** What a name says; undefined for what nobody of ours has put there. */
export function readName(text: string): ShelfName | undefined {
  const [station = '', folder, group = '', file = '', ...more] = text.split('/');
  if (!isStation(station) || more.length > 0) return undefined;
  if (folder === FOLDERS.head) {
    const [, number, day, digest] = HEAD.exec(file) ?? [];
    if (!DEVICE.test(group) || number === undefined || day === undefined || digest === undefined) return undefined;
    return { kind: 'head', station, device: group, number: Number(number), day, digest };
  }
  if (!isDay(group)) return undefined;
  if (folder === FOLDERS.check) {
    const digest = CHECK.exec(file)?.[1];
    return digest === undefined ? undefined : { kind: 'check', station, day: group, digest };
  }
  const kind = folder === FOLDERS.note ? 'note' : folder === FOLDERS.clip ? 'clip' : undefined;
  const [, check, digest, ending] = BESIDE.exec(file) ?? [];
  if (kind === undefined || check === undefined || digest === undefined) return undefined;
  return (ending === 'wav') === (kind === 'clip') ? { kind, station, day: group, check, digest } : undefined;
}
