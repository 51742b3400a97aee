import { connect } from 'node:net';
import { randomFrom } from '../../../src/airsystem/scenario.ts';
import type { CheckEvent } from '../../../src/check/event.ts';
import { newHeader, sealedLog, signedNext } from '../../../src/record/chain.ts';
import type { LogFile } from '../../../src/record/log.ts';
import type { CheckHead } from '../../../src/record/record-store.ts';
import { newKeyPair, signerOf, type Signer } from '../../../src/record/signer.ts';
import { openPlace } from '../../../src/shelf/open-place.ts';
import type { Sent } from '../../../src/shelf/parcel.ts';
import { piecesOf } from '../../../src/shelf/parcel.ts';
import { Sender } from '../../../src/shelf/sender.ts';
import type { ShelfFile } from '../../../src/shelf/shelf-file.ts';
import { nodeXml } from '../../../src/cli/collect/node-xml.ts';

export interface FleetPlan {
  readonly devices: number;
  /** Of all devices together. */
  readonly checks: number;
  readonly weeks: number;
  readonly seed: number;
  readonly shelf: ShelfFile;
  readonly events: readonly CheckEvent[];
  readonly fetch: (url: string, init: RequestInit) => Promise<Response>;
  /** Real stores keep their own time; the stand-in lives on that of the fleet. */
  readonly wall?: (now: number) => string;
  /** Cuts a request in the middle of what is sent. */
  readonly cut: (url: string, init: RequestInit) => Promise<void>;
}

/** What the fleet went through, and what has to be on the shelf after it. */
export interface FleetStory {
  /** Every object by its name. */
  readonly expected: ReadonlyMap<string, Uint8Array>;
  readonly signers: readonly Signer[];
  readonly told: Record<
    'checks' | 'notes' | 'requests' | 'kills' | 'cuts' | 'lost answers' | 'faults' | 'hours offline' | 'clock changes',
    number
  >;
}

const HOUR = 3_600_000;
const START = Date.parse('2026-05-04T00:00:00Z');

/** The process ended here, whatever it was doing. */
class Killed extends Error {}

/** A tablet: what is on its disk outlives a kill, its sender does not. */
interface Tablet {
  readonly signer: Signer;
  readonly logs: Map<string, LogFile>;
  readonly heads: CheckHead[];
  readonly sent: Map<string, Sent>;
  sender: Sender | undefined;
  /** Ms that its clock is off. */
  ahead: number;
  offlineUntil: number;
  left: number;
}

/** Lets tablets make checks for weeks, while they are killed, cut off, refused and set to wrong times; then a quiet day. */
export async function runFleet(plan: FleetPlan): Promise<FleetStory> {
  const random = randomFrom(plan.seed);
  const told = {
    checks: 0,
    notes: 0,
    requests: 0,
    kills: 0,
    cuts: 0,
    'lost answers': 0,
    faults: 0,
    'hours offline': 0,
    'clock changes': 0,
  };
  const expected = new Map<string, Uint8Array>();
  let now = START;
  let rough = true;

  const chance = (of: number): boolean => rough && random() < of;
  const maybeKilled = (): void => {
    if (!chance(0.04)) return;
    told.kills += 1;
    throw new Killed();
  };

  async function request(url: string, init: RequestInit): Promise<Response> {
    told.requests += 1;
    maybeKilled();
    if (chance(0.08)) {
      told.cuts += 1;
      await plan.cut(url, init);
      throw new TypeError('cut off');
    }
    if (chance(0.04)) {
      told.faults += 1;
      return new Response(null, { status: [500, 503, 429, 403][Math.floor(random() * 4)]! });
    }
    const response = await plan.fetch(url, init);
    maybeKilled();
    if (chance(0.08)) {
      told['lost answers'] += 1;
      await response.body?.cancel();
      throw new TypeError('cut off');
    }
    return response;
  }

  function senderOf(tablet: Tablet, steady: { now: number }): Sender {
    const wall = (): string => plan.wall?.(tablet.ahead) ?? new Date(now + tablet.ahead).toISOString();
    return new Sender({
      place: openPlace(plan.shelf, { fetch: request, xml: nodeXml, wall }),
      store: {
        heads: () => Promise.resolve(tablet.heads),
        log: (check) => Promise.resolve(tablet.logs.get(check)),
        clip: () => Promise.resolve(undefined),
      },
      sent: {
        all: () => Promise.resolve([...tablet.sent.values()]),
        keep(sent) {
          maybeKilled();
          tablet.sent.set(sent.check, structuredClone(sent));
          maybeKilled();
          return Promise.resolve();
        },
      },
      own: tablet.signer.publicKey,
      station: plan.shelf.station ?? '',
      steady: () => steady.now,
      random,
      clips: () => false,
    });
  }

  async function makeCheck(tablet: Tablet): Promise<void> {
    const id = `check-${told.checks}`;
    const wall = new Date(now + tablet.ahead).toISOString();
    const before = [...tablet.logs.values()].at(-1)?.entries.find(({ event }) => event.type === 'seal');
    const last =
      before?.event.type === 'seal' ? { number: before.event.number ?? 0, digest: before.digest } : undefined;
    const [start, ...rest] = plan.events;
    if (start?.type !== 'start') throw new Error('a check begins with its start');
    const log = await sealedLog(
      newHeader(id, wall, 'Two Needles test', tablet.signer),
      [{ ...start, wall }, ...rest],
      wall,
      tablet.signer,
      last,
    );
    tablet.logs.set(id, log);
    tablet.heads.push({
      id,
      startedAt: wall,
      rigId: 'engine-31',
      rigName: 'Engine 31',
      operator: 'A. Okafor',
      planTitle: '',
      state: 'finished',
    });
    tablet.sender?.look();
    tablet.left -= 1;
    told.checks += 1;
  }

  /** Someone countersigns on the tablet, as long as it holds the check. */
  async function sign(tablet: Tablet): Promise<void> {
    const at = Math.floor(random() * tablet.heads.length);
    const head = tablet.heads[at];
    const log = head && tablet.logs.get(head.id);
    if (head === undefined || log === undefined) return;
    const wall = new Date(now + tablet.ahead).toISOString();
    const event = {
      type: 'countersigned',
      officer: 'Capt. R. Whitehorse',
      wall,
      key: tablet.signer.publicKey,
    } as const;
    const entry = await signedNext(log.end.head, log.end.count, event, tablet.signer);
    tablet.logs.set(head.id, {
      ...log,
      entries: [...log.entries, entry],
      end: { count: log.end.count + 1, head: entry.digest },
    });
    tablet.heads[at] = { ...head, countersigned: [...(head.countersigned ?? []), 'Capt. R. Whitehorse'] };
    tablet.sender?.look();
    told.notes += 1;
  }

  async function send(tablet: Tablet, hours: number): Promise<void> {
    const steady = { now };
    const end = now + hours * HOUR;
    // A page that is opened anew begins at a time of its own.
    tablet.sender = senderOf(tablet, steady);
    while (steady.now < end) {
      try {
        const turn = await tablet.sender.turn();
        if (turn.did === 'rest') return;
        if (turn.did === 'wait') steady.now += turn.ms;
      } catch (error) {
        if (!(error instanceof Killed)) throw error;
        tablet.sender = senderOf(tablet, steady);
      }
    }
  }

  const tablets: Tablet[] = [];
  for (let nth = 0; nth < plan.devices; nth += 1) {
    const signer = await signerOf(await newKeyPair());
    const left = Math.floor(plan.checks / plan.devices) + (nth < plan.checks % plan.devices ? 1 : 0);
    tablets.push({
      signer,
      logs: new Map(),
      heads: [],
      sent: new Map(),
      sender: undefined,
      ahead: 0,
      offlineUntil: 0,
      left,
    });
  }
  const days = plan.weeks * 7;
  for (let day = 0; day < days; day += 1) {
    for (let hour = 6; hour < 24; hour += 6) {
      now = START + day * 24 * HOUR + hour * HOUR;
      await eight(tablets, async (tablet) => {
        const quarters = (days - day) * 3;
        if (tablet.left > 0 && random() < tablet.left / quarters) await makeCheck(tablet);
        if (random() < 0.03) await sign(tablet);
        if (chance(0.02)) {
          told['clock changes'] += 1;
          tablet.ahead = random() < 0.5 ? 0 : Math.round((random() - 0.5) * 60 * 24 * HOUR);
        }
        if (chance(0.05)) tablet.offlineUntil = now + Math.floor(random() * 18 * 24) * HOUR;
        if (now < tablet.offlineUntil) told['hours offline'] += 6;
        else await send(tablet, 6);
      });
    }
  }
  for (const tablet of tablets) while (tablet.left > 0) await makeCheck(tablet);
  rough = false;
  now += 24 * HOUR;
  await eight(tablets, (tablet) => send(tablet, 24));
  for (const { signer, logs } of tablets)
    for (const log of logs.values())
      for (const piece of await piecesOf(log, signer.publicKey, plan.shelf.station ?? '', undefined)) {
        const bytes = await piece.bytes();
        if (bytes !== undefined) expected.set(piece.name, bytes);
      }
  return { expected, signers: tablets.map(({ signer }) => signer), told };
}

/** Eight at a time: what one does falls between what the others do. */
async function eight<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  const waiting = [...items];
  const one = async (): Promise<void> => {
    for (let item = waiting.shift(); item !== undefined; item = waiting.shift()) await work(item);
  };
  await Promise.all(Array.from({ length: 8 }, one));
}

/** Sends the head and half of the body of a request over a connection, and breaks it. */
export async function cutOnTheWire(url: string, init: RequestInit): Promise<void> {
  const { hostname, port, pathname, search, host } = new URL(url);
  const body = init.body instanceof Uint8Array ? init.body : new Uint8Array();
  const headers = [...new Headers(init.headers)].map(([name, value]) => `${name}: ${value}\r\n`).join('');
  const head = `${init.method ?? 'GET'} ${pathname}${search} HTTP/1.1\r\nhost: ${host}\r\n${headers}content-length: ${body.length}\r\n\r\n`;
  const socket = connect(Number(port), hostname);
  await new Promise<void>((done) => {
    socket.on('error', () => done());
    socket.on('close', () => done());
    socket.on('connect', () => {
      socket.write(head);
      // Half of it has left before the line breaks.
      socket.write(body.subarray(0, body.length >> 1), () => socket.destroy());
    });
  });
}
