import type { CheckEvent } from '../../../src/check/event.ts';
import { chainNext, headerDigest, newHeader, officersNext, sealedLog, signedNext } from '../../../src/record/chain.ts';
import { newOfficerKey, openOfficerKey, type OfficerKey } from '../../../src/record/officer-key.ts';
import type { Packing } from '../../../src/record/packing.ts';
import {
  logFile,
  UNCHAINED_VERSION,
  type Entry,
  type LogFile,
  type OfficerEvent,
  type PublicKey,
} from '../../../src/record/log.ts';
import { newKeyPair, signerOf, type Signer } from '../../../src/record/signer.ts';
import { needles, startOf, Walk } from '../check/support/say.ts';

export const WALL = '2026-05-04T07:52:00.000Z';
export const APP = 'Two Needles 0.1.0';

export const newSigner = async (): Promise<Signer> => signerOf(await newKeyPair());

/** A device that exports, and knows the keys given beside its own. */
export const packedBy = (signer: Signer, known: Packing['known'] = []): Packing => ({ signer, wall: WALL, known });

/** The events of a whole check on Engine 31; the numbers are common practice, no source. */
export function wholeCheck(more: Parameters<typeof startOf>[0] = {}): CheckEvent[] {
  const walk = new Walk(startOf(more));
  walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', needles(75, 74), 'engine-started');
  walk.sayAll('cut-out', needles(124, 123), 'cut-in', needles(98, 97), 'cut-out', needles(125, 124));
  walk
    .sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117))
    .waitTo(walk.time + 60)
    .say(needles(117, 116));
  walk
    .sayAll('brake-applied', 'settled', needles(107, 106))
    .waitTo(walk.time + 60)
    .say(needles(106, 105));
  walk.sayAll(
    'buzzer',
    needles(66, 68),
    'valve-popped',
    needles(37, 38),
    'engine-started',
    'fast-idle-set',
    needles(85, 85),
  );
  walk.waitTo(walk.time + 28).say(needles(100, 100));
  walk.sayAll('cut-out', needles(125, 125), 'fast-idle-off', 'chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
  walk.sayAll('straight-stop', 'check-complete');
  return walk.events;
}

/** A sealed log of those events. */
export async function logOfCheck(events: readonly CheckEvent[], signer: Signer, check = 'c1'): Promise<LogFile> {
  return sealedLog(newHeader(check, WALL, APP, signer), events, WALL, signer);
}

/** The log with one more signed entry. */
export async function signed(log: LogFile, event: OfficerEvent, signer: Signer, own?: OfficerKey): Promise<LogFile> {
  const entry = await officersNext(log.end.head, log.end.count, event, signer, own);
  return { ...log, entries: [...log.entries, entry], end: { count: log.end.count + 1, head: entry.digest } };
}

/** An officer's key that was just opened, of few rounds: what is slow about it is for `officer-key.test.ts`. */
export async function officerKey(made = WALL, before?: PublicKey): Promise<OfficerKey> {
  const locked = await newOfficerKey('739104', made, before, 1);
  const opened = locked.ok ? await openOfficerKey(locked.value, '739104') : undefined;
  if (opened === undefined) throw new Error('The key of the test did not open.');
  return opened;
}

/** A log that the officer has countersigned with a key of their own. */
export async function ownSignedLog(signer: Signer, own: OfficerKey, officer = 'Capt. R. Whitehorse'): Promise<LogFile> {
  const event = { type: 'countersigned', officer, wall: WALL, key: signer.publicKey } as const;
  return signed(await logOfCheck(wholeCheck(), signer), event, signer, own);
}

/** A sealed, remarked and countersigned log of a whole check. */
export async function officersLog(signer: Signer, check = 'c1'): Promise<LogFile> {
  const by = { officer: 'Capt. R. Whitehorse', wall: WALL, key: signer.publicKey };
  const sealed = await logOfCheck(wholeCheck(), signer, check);
  const remarked = await signed(sealed, { type: 'remark', text: 'Seen <b>and</b> heard.', ...by }, signer);
  return signed(remarked, { type: 'countersigned', ...by }, signer);
}

/** A sealed log of an examination, with what the examiner put down, signed by the candidate. */
export async function examinedLog(signer: Signer): Promise<LogFile> {
  const events = wholeCheck({ settings: { examination: true } });
  const at = events.at(-1)?.at ?? 0;
  const put: CheckEvent[] = [
    { type: 'examiner', at, text: 'looked away', limit: { part: 'cut-out', stated: true } },
    { type: 'examiner', at, mark: { part: 'chocks', state: 'said' } },
  ];
  const by = { officer: 'P. Serrano', as: 'candidate', wall: WALL, key: signer.publicKey } as const;
  return signed(await logOfCheck([...events, ...put], signer), { type: 'countersigned', ...by }, signer);
}

/** A sealed log as the first version of the format had it. */
export async function firstVersionLog(signer: Signer, check = 'c1'): Promise<LogFile> {
  const header = { ...newHeader(check, WALL, APP, signer), version: UNCHAINED_VERSION };
  const first = await headerDigest(header);
  const entries: Entry[] = [];
  const head = (): string => entries.at(-1)?.digest ?? first;
  for (const event of wholeCheck()) entries.push(await chainNext(head(), entries.length, event));
  const count = entries.length;
  entries.push(await signedNext(head(), count, { type: 'seal', count, head: head(), wall: WALL }, signer));
  return logFile(header, entries, first);
}

export const copyOf = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
