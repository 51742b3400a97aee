/** What runs in the pages that are killed: a whole check, heard word for word, over the real machine, record and disk. */
import { SILENT_SPEECH } from './silent-speech.ts';
import fullCabCheck from '../../src/check/plans/full-cab-check.json';
import type { StartEvent } from '../../src/check/event.ts';
import type { Plan } from '../../src/check/plan.ts';
import { readGrammar } from '../../src/grammar/read-grammar.ts';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import { chainedStore, type ChainedStore } from '../../src/record/chained-store.ts';
import { openDevice } from '../../src/record/device-key.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import { keepingStore } from '../../src/record/keeping-store.ts';
import type { EntryStore } from '../../src/record/record-store.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { ENGINE_31, fullCabCheckScript } from '../../src/rehearsal/synthetic-operator-script.ts';
import { layOut } from '../../src/rehearsal/synthetic-operator.ts';
import type { Ear, EarEvents } from '../../src/running/ear.ts';
import { languageOf } from '../../src/running/language.ts';
import { LiveCheck, type LiveParts } from '../../src/running/live-check.ts';
import { DEFAULT_SETTINGS } from '../../src/running/settings.ts';

/** What is found of a check whose page was killed. */
export interface Found {
  /** The words of its callouts, in order. */
  readonly heard: readonly string[];
  /** Step at which it goes on; `finished` when it was over. */
  readonly goesOnAt: string;
  /** What is wrong with the log once the check has gone on, been stopped and sealed. */
  readonly faults: readonly string[];
}

const GRAMMAR = readGrammar(
  import.meta.glob<string>('../../grammars/*.jsgf', { query: '?raw', import: 'default', eager: true }),
);
if (!GRAMMAR.ok) throw new Error(GRAMMAR.problem.what);
const LANGUAGE = languageOf(GRAMMAR.value);
const [PROFILE] = BUILT_IN_PROFILES;
if (PROFILE === undefined) throw new Error('there are no limits');
const START: StartEvent = {
  type: 'start',
  at: 0,
  wall: '2026-05-04T07:30:00.000Z',
  plan: fullCabCheck as unknown as Plan,
  profile: PROFILE,
  rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
  operator: 'A. Okafor',
  asking: 'ask',
};
const SAID = layOut(fullCabCheckScript(ENGINE_31, { holdSeconds: 60, afterHold: 1000 }), {
  lead: 500,
  pause: 2000,
  speechLength: (words) => words.length * 70,
});

/** A disk that tells the server before, during and after each write of a check, and goes on when that answers. */
function telling(disk: EntryStore, check: string): EntryStore {
  const tell = (stage: string): Promise<unknown> => fetch(`/writing?check=${check}&stage=${stage}`);
  return new Proxy(disk, {
    get(target, name) {
      if (name !== 'append') {
        const value: unknown = Reflect.get(target, name);
        return value;
      }
      return async (...event: Parameters<EntryStore['append']>): Promise<void> => {
        await tell('before');
        await Promise.all([target.append(...event), tell('during')]);
        await tell('after');
      };
    },
  });
}

/** `told`: the check whose writes the server is told of. */
async function openStore(told?: string): Promise<ChainedStore> {
  const plain = await diskStore('kills');
  const disk = keepingStore(told === undefined ? plain : telling(plain, told), () => undefined);
  const device = await openDevice(navigator.locks, 'kills-key');
  return chainedStore(disk, device.signer, () => new Date().toISOString(), 'Two Needles test', device);
}

interface Scripted {
  readonly parts: LiveParts;
  readonly say: (text: string, at: number, end: number) => Promise<void>;
}

function scripted(id: string, store: ChainedStore): Scripted {
  let listener: EarEvents | undefined;
  const ear: Ear = {
    open(to) {
      listener = to;
      return Promise.resolve();
    },
    retry: () => Promise.resolve(),
    listenFor: () => undefined,
    talk: () => undefined,
    close: () => Promise.resolve(),
  };
  const parts: LiveParts = {
    id,
    ear,
    store,
    language: LANGUAGE,
    speech: SILENT_SPEECH,
    settings: () => DEFAULT_SETTINGS,
    // The script alone tells the time.
    steady: () => 0,
    wall: () => new Date().toISOString(),
    every: () => () => undefined,
    wav: (clip) => new Blob([clip as Float32Array<ArrayBuffer>], { type: 'audio/wav' }),
    onChange: () => undefined,
    notices: () => [],
  };
  return {
    parts,
    async say(text, at, end) {
      await listener?.progress(at);
      await listener?.heard({
        engine: 'embedded',
        words: [],
        text,
        start: at,
        end,
        confidence: 1,
        rejected: false,
        clip: new Float32Array(2000).fill(0.1),
      });
    },
  };
}

/** Does the check; each callout is told to the server, which waits for it, the moment it has been answered. */
export async function run(id: string): Promise<void> {
  const { parts, say } = scripted(id, await openStore(id));
  const live = LiveCheck.begin(parts, START);
  await live.open();
  for (const [nth, { text, at, end }] of SAID.entries()) {
    await say(text, at, end);
    const told = new XMLHttpRequest();
    // Synchronous: nothing else happens in the page until the answer is known outside.
    told.open('POST', `/answered?check=${id}&callout=${nth}&said=${encodeURIComponent(text)}`, false);
    told.send();
  }
}

/** Takes a killed check up, as the start screen does, stops it, and verifies its log. */
export async function find(id: string): Promise<Found | undefined> {
  const store = await openStore();
  const events = await store.events(id);
  const heard = events.flatMap((event) => (event.type === 'callout' ? [event.heard] : []));
  const { parts, say } = scripted(id, store);
  const live = LiveCheck.resume(parts, events);
  if (live === undefined) return undefined;
  await live.open();
  const goesOnAt = live.model?.finished === undefined ? (live.model?.step.id ?? '') : 'finished';
  if (goesOnAt !== 'finished') {
    await say('stop the check', 1e7, 1e7 + 500);
    await say('yes', 1e7 + 2000, 1e7 + 2500);
  }
  await live.close();
  const log = await store.log(id);
  const faults = log === undefined ? ['no log'] : (await verifyLog(log)).faults.map(({ what }) => what);
  return { heard, goesOnAt, faults };
}
