import { strToU8, Zip, ZipDeflate, ZipPassThrough, type ZipInputFile } from 'fflate';
import { problemLine } from '../units/outcome.ts';
import type { ChainedStore } from './chained-store.ts';
import { CSV_HEADER, figureRows } from './figures-csv.ts';
import { judgeLog } from './judged.ts';
import type { LogFile } from './log.ts';
import { breather, type Work } from './pace.ts';
import { reportHtml } from './report.ts';
import { writeTranscript } from './transcript.ts';
import { verifyLog } from './verify.ts';

/** The files of one export: name in the zip (or folder) to contents. */
export type ExportFiles = ReadonlyMap<string, Uint8Array<ArrayBuffer>>;

/** Clips by the place of the entry that names them. */
export type Clips = ReadonlyMap<number, Uint8Array<ArrayBuffer>>;

/** A checkable file of each name; a clip is named after the place of its entry, whatever the log calls it. */
export const LOG_NAME = 'log.json';
export const clipName = (place: number): string => `clips/${String(place).padStart(4, '0')}.wav`;

/**
 * Everything that is exported of a check: the log, its clips, the transcript, the figures and the report. A log that cannot
 * be judged again comes without the last two.
 */
export async function checkFiles(log: LogFile, clips: Clips = new Map()): Promise<ExportFiles> {
  const files = new Map<string, Uint8Array<ArrayBuffer>>();
  files.set(LOG_NAME, strToU8(`${JSON.stringify(log, null, 1)}\n`));
  for (const [place, sound] of clips) files.set(clipName(place), sound);
  const callouts = log.entries.flatMap(({ event }) => (event.type === 'callout' ? [event] : []));
  const cues = callouts.map(({ at, end, heard }) => ({ at, end, text: heard === '' ? '(speech)' : heard }));
  files.set('transcript.vtt', strToU8(writeTranscript(cues)));
  const judged = judgeLog(log, LOG_NAME);
  if (judged.ok) {
    files.set('figures.csv', strToU8(CSV_HEADER + figureRows(log, judged.value)));
    files.set('report.html', strToU8(reportHtml(log, judged.value, await verifyLog(log, clips))));
  }
  return files;
}

/** One check as a zip. */
export async function exportCheck(log: LogFile, clips: Clips = new Map()): Promise<Blob> {
  const zip = zipWriter();
  for (const [name, bytes] of await checkFiles(log, clips)) zip.add(name, bytes);
  return zip.end();
}

/** What an export of many checks left out, in one line each. */
export interface Exported {
  readonly file: Blob;
  readonly left: readonly string[];
}

/** Many checks as one zip of their zips, each named after its rig, its time and its id. Rejects with the signal's reason when stopped. */
export async function exportChecks(store: ChainedStore, checks: readonly string[], work: Work = {}): Promise<Exported> {
  const zip = zipWriter();
  const left = await each(store, checks, work, async (log) => {
    const zipped = new Uint8Array(await (await exportCheck(log, await clipsOf(store, log))).arrayBuffer());
    zip.add(`${fileName(log)}.zip`, zipped);
    return undefined;
  });
  return { file: zip.end(), left };
}

/** The figures of many checks as one table. */
export async function exportFigures(
  store: ChainedStore,
  checks: readonly string[],
  work: Work = {},
): Promise<Exported> {
  const parts: string[] = [CSV_HEADER];
  const left = await each(store, checks, work, (log) => {
    const judged = judgeLog(log, log.header.check);
    if (judged.ok) parts.push(figureRows(log, judged.value));
    return Promise.resolve(judged.ok ? undefined : problemLine(judged.problem));
  });
  return { file: new Blob(parts, { type: 'text/csv' }), left };
}

/** The clips of a log that are still kept. */
export async function clipsOf(store: Pick<ChainedStore, 'clip'>, log: LogFile): Promise<Clips> {
  const clips = new Map<number, Uint8Array<ArrayBuffer>>();
  for (const [place, { event }] of log.entries.entries()) {
    if (event.type !== 'callout' || event.clip === undefined || event.clipDigest === undefined) continue;
    const clip = await store.clip(event.clip);
    // A clip that another check's log names is not this one's.
    if (clip?.check === log.header.check) clips.set(place, new Uint8Array(await clip.wav.arrayBuffer()));
  }
  return clips;
}

/** A name that any system takes: rig, date and time, id. */
export function fileName({ header, entries }: LogFile): string {
  const start = entries[0]?.event;
  const parts = start?.type === 'start' ? [start.rig.name, start.wall.slice(0, 16), header.check] : [header.check];
  return parts
    .map((part) =>
      part
        .replace(/[^\p{L}\p{N}]+/gu, '-')
        .replace(/^-|-$/g, '')
        .slice(0, 40),
    )
    .join('_');
}

async function each(
  store: ChainedStore,
  checks: readonly string[],
  { signal, onProgress }: Work,
  take: (log: LogFile) => Promise<string | undefined>,
): Promise<string[]> {
  const breathe = breather(signal);
  const left: string[] = [];
  for (const [at, check] of checks.entries()) {
    await breathe();
    const log = await store.log(check);
    const trouble = log === undefined ? `${check}: there is no log of this check.` : await take(log);
    if (trouble !== undefined) left.push(trouble);
    onProgress?.((at + 1) / checks.length);
  }
  return left;
}

function zipWriter(): { add(name: string, bytes: Uint8Array): void; end(): Blob } {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const zip = new Zip((error, chunk) => {
    if (error !== null) throw error;
    parts.push(chunk);
  });
  return {
    add(name, bytes) {
      // Sound and zips hardly shrink.
      const file: ZipInputFile & { push(bytes: Uint8Array, final: boolean): void } = /\.(wav|zip)$/.test(name)
        ? new ZipPassThrough(name)
        : new ZipDeflate(name, { level: 6 });
      zip.add(file);
      file.push(bytes, true);
    },
    end() {
      zip.end();
      return new Blob(parts, { type: 'application/zip' });
    },
  };
}
