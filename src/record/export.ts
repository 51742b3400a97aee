import { strToU8 } from 'fflate';
import { good, problemLine } from '../units/outcome.ts';
import type { ChainedStore } from './chained-store.ts';
import type { Clips, Contents } from './contents.ts';
import { clipName, LOG_NAME } from './export-names.ts';
import { CSV_HEADER, figureRows } from './figures-csv.ts';
import { judgeLog } from './judged.ts';
import { namedClip } from './named-clip.ts';
import { sealerOf } from './known-keys.ts';
import type { LogFile } from './log.ts';
import { MANIFEST_NAME, signManifest } from './manifest.ts';
import { breather, type Work } from './pace.ts';
import type { Packing } from './packing.ts';
import { photosOfLog, shownPhotos } from './photos-of-log.ts';
import { reportHtml } from './report.ts';
import { writeTranscript } from './transcript.ts';
import { verifyLog } from './verify.ts';
import { zipWriter } from './zip-writer.ts';

/** The files of one export but for the clips: name in the zip (or folder) to contents. */
export type ExportFiles = ReadonlyMap<string, Uint8Array<ArrayBuffer>>;

/**
 * What is exported of a check beside its clips: the log, the transcript, the figures and the report, and the signed manifest that
 * binds them to the log. A log that cannot be judged again comes without figures and report.
 */
export async function checkFiles(log: LogFile, packing: Packing, clips: Clips = new Map()): Promise<ExportFiles> {
  const files = new Map<string, Uint8Array<ArrayBuffer>>();
  const callouts = log.entries.flatMap(({ event }) => (event.type === 'callout' ? [event] : []));
  const cues = callouts.map(({ at, end, heard, voice }) => ({
    ...{ at, end, text: heard === '' ? '(speech)' : heard },
    ...(voice === undefined ? {} : { voice }),
  }));
  files.set('transcript.vtt', strToU8(writeTranscript(cues)));
  const judged = judgeLog(log, LOG_NAME);
  if (judged.ok) {
    const { signer, known } = packing;
    const sealer = sealerOf(log.header, known, signer.publicKey);
    files.set('figures.csv', strToU8(CSV_HEADER + figureRows(log, judged.value)));
    const verification = await verifyLog(log, clips);
    const photos = await shownPhotos(photosOfLog(log, clips, verification), clips);
    files.set(
      'report.html',
      strToU8(reportHtml(log, judged.value, verification, sealer, { known: packing.known, photos })),
    );
  }
  const manifest = await signManifest(log, files, packing.wall, packing.signer);
  return new Map([[LOG_NAME, json(log)], [MANIFEST_NAME, json(manifest)], ...files]);
}

function json(value: unknown): Uint8Array<ArrayBuffer> {
  return strToU8(`${JSON.stringify(value, null, 1)}\n`);
}

/** One check as a zip. A clip that cannot be read any more is left out, as a deleted one is. */
export async function exportCheck(log: LogFile, packing: Packing, clips: Clips = new Map()): Promise<Blob> {
  const zip = zipWriter();
  for (const [name, bytes] of await checkFiles(log, packing, clips)) zip.add(name, bytes);
  for (const [place, contents] of clips) {
    const sound = await contents();
    if (sound.ok) zip.add(clipName(place, log.entries[place]?.event), sound.value);
  }
  return zip.end();
}

/** What an export of many checks left out, in one line each. */
export interface Exported {
  /** One file, or parts that can each be read alone. */
  readonly files: readonly Blob[];
  readonly left: readonly string[];
}

/** Largest part of an export of many checks, in bytes: any file system takes it, and any zip reader. */
const PART_BYTES = 2 ** 30;
/** A zip of the classic form holds 65,535. */
const PART_CHECKS = 60_000;

/**
 * Many checks as zips of their zips, each named after its rig, its time and its id; in parts when they are too large for one.
 * Rejects with the signal's reason when stopped.
 */
export async function exportChecks(
  store: ChainedStore,
  checks: readonly string[],
  work: Work = {},
  partBytes = PART_BYTES,
): Promise<Exported> {
  const packing = await store.packing();
  const files: Blob[] = [];
  let zip = zipWriter();
  let [bytes, count] = [0, 0];
  const left = await each(store, checks, work, async (log) => {
    const one = await exportCheck(log, packing, await clipsOf(store, log));
    if (count > 0 && (bytes + one.size > partBytes || count >= PART_CHECKS)) {
      files.push(zip.end());
      zip = zipWriter();
      [bytes, count] = [0, 0];
    }
    zip.add(`${fileName(log)}.zip`, new Uint8Array(await one.arrayBuffer()));
    bytes += one.size;
    count += 1;
    return undefined;
  });
  return { files: [...files, zip.end()], left };
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
  return { files: [new Blob(parts, { type: 'text/csv' })], left };
}

/** The clips of a log that are still kept, photos among them. */
export async function clipsOf(store: Pick<ChainedStore, 'clip'>, log: LogFile): Promise<Clips> {
  const clips = new Map<number, Contents>();
  for (const [place, { event }] of log.entries.entries()) {
    const named = namedClip(event);
    if (named?.digest === undefined) continue;
    const clip = await store.clip(named.id);
    // A clip that another check's log names is not this one's.
    if (clip?.check === log.header.check)
      clips.set(place, async () => good(new Uint8Array(await clip.wav.arrayBuffer())));
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
  work: Work,
  take: (log: LogFile) => Promise<string | undefined>,
): Promise<string[]> {
  const breathe = breather(work);
  const left: string[] = [];
  for (const [at, check] of checks.entries()) {
    await breathe();
    const log = await store.log(check);
    const trouble = log === undefined ? `${check}: there is no log of this check.` : await take(log);
    if (trouble !== undefined) left.push(trouble);
    work.onProgress?.((at + 1) / checks.length);
  }
  return left;
}
