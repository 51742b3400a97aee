import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import { readPlan } from '../../src/check/read-plan.ts';
import { readTranscript } from '../../src/cli/shared/webvtt.ts';
import { readWav } from '../../src/hearing/wav.ts';
import { readProfile } from '../../src/judging/read-profile.ts';
import { exportCheck } from '../../src/record/export.ts';
import { findLogs } from '../../src/record/find-logs.ts';
import { judgeLog } from '../../src/record/judged.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { bytesSource } from '../../src/record/contents.ts';
import { newSigner, officersLog, packedBy } from '../unit/record/logs.ts';

const signer = await newSigner();
const log = await officersLog(signer);
const utf8 = (value: unknown): Uint8Array<ArrayBuffer> => new TextEncoder().encode(JSON.stringify(value));
const cues = new Set(fullCabCheck.steps.flatMap((step) => ('cues' in step ? step.cues : [])));
const parsed = (bytes: Uint8Array): unknown => {
  try {
    return JSON.parse(new TextDecoder().decode(bytes)) as unknown;
  } catch {
    return undefined;
  }
};

async function openLogs(bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  for await (const { found } of findLogs(bytesSource(bytes), 'x', () => Promise.resolve())) {
    if (!found.ok) continue;
    const { log: read, clips, files } = found.value;
    await verifyLog(read, clips, files);
    judgeLog(read, 'x');
  }
}

/** A kind of file: its name, a whole one, and how it is read. */
export const KINDS: readonly (readonly [
  string,
  Uint8Array<ArrayBuffer>,
  (bytes: Uint8Array<ArrayBuffer>) => unknown,
])[] = [
  ['zip', new Uint8Array(await (await exportCheck(log, packedBy(signer))).arrayBuffer()), openLogs],
  ['log', utf8(log), openLogs],
  ['plan', utf8(fullCabCheck), (bytes) => readPlan(parsed(bytes), 'x', cues)],
  ['profile', utf8(BUILT_IN_PROFILES[0]), (bytes) => readProfile(parsed(bytes), 'x')],
  ['WAV', new Uint8Array(readFileSync('public/demo/engine-31.wav').subarray(0, 6000)), (bytes) => readWav(bytes, 'x')],
  [
    'WebVTT',
    new Uint8Array(readFileSync('public/demo/engine-31.vtt')),
    (bytes) => readTranscript(new TextDecoder().decode(bytes), 'x'),
  ],
];

/** How a file is spoilt in one place. */
export type Change = readonly [kind: 'byte' | 'cut' | 'double' | 'move' | 'text', at: number, value: number];
const TEXTS = ['null', '-1', '1e999', '[]', '{}', '""', '"start"', '9007199254740993', '__proto__', '\u0000', '{"a":'];

export function changed(bytes: Uint8Array<ArrayBuffer>, [kind, at, value]: Change): Uint8Array<ArrayBuffer> {
  const place = at % (bytes.length + 1);
  const length = value % 64;
  const [before, after] = [bytes.subarray(0, place), bytes.subarray(place)];
  const join = (...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> => new Uint8Array(Buffer.concat(parts));
  switch (kind) {
    case 'byte':
      return join(before, Uint8Array.of(value & 255), after.subarray(1));
    case 'cut':
      return join(before, after.subarray(length));
    case 'double':
      return join(before, after.subarray(0, length), after);
    case 'move':
      return join(after.subarray(0, length), before, after.subarray(length));
    case 'text':
      return join(before, new TextEncoder().encode(TEXTS[value % TEXTS.length]), after.subarray(length));
  }
}

const change = fc.tuple(
  fc.constantFrom('byte', 'cut', 'double', 'move', 'text'),
  fc.nat(),
  fc.nat(),
) as fc.Arbitrary<Change>;

/** A file spoilt in one to four places. */
export const changes = fc.array(change, { minLength: 1, maxLength: 4 });
