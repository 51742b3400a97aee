import { newHeader, sealedLog } from '../../src/record/chain.ts';
import { chainedStore } from '../../src/record/chained-store.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import { clipsOf, exportCheck } from '../../src/record/export.ts';
import { checkEvents } from '../../src/record/log.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { newKeyPair, signerOf } from '../../src/record/signer.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import fullCabCheck from '../../src/check/plans/full-cab-check.json';
import type { Plan } from '../../src/check/plan.ts';
import { readGrammar } from '../../src/grammar/read-grammar.ts';
import { languageOf } from '../../src/running/language.ts';
import { loadStory } from '../../src/ui/logs/story-logs.ts';
import { LogsScreen } from '../../src/ui/logs/logs-screen.ts';
import '../../src/ui/shared/page.css';

/** What `tests/bench/import.ts` runs in the browser. Times in ms. */
export interface ImportFigures {
  readonly kept: number;
  readonly megabytes: number;
  readonly took: number;
  /** Longest time between two frames, while nothing was done and during the import. */
  readonly idleGap: number;
  readonly gap: number;
  /** Longest task of the main thread during the import; 0 when none was above 50 ms. */
  readonly longestTask: number;
  /** Times that the progress was shown anew. */
  readonly steps: number;
  /** From the press on Cancel to the end of the import, and the checks that had been taken in by then. */
  readonly cancelled: number;
  readonly keptThen: number;
}

const COUNT = 500;
/** Callouts with a sound, of each check. */
const SOUNDS = 8;
const ALL = (): string => `bench-import-${crypto.randomUUID()}`;

export async function importMany(): Promise<ImportFigures> {
  const files = await zips();
  const megabytes = files.reduce((sum, { size }) => sum + size, 0) / 2 ** 20;
  const idleGap = await longestGap(() => new Promise((go) => setTimeout(go, 2000)));
  const whole = await opened();
  const tasks: number[] = [];
  const observer = new PerformanceObserver((list) => tasks.push(...list.getEntries().map(({ duration }) => duration)));
  observer.observe({ type: 'longtask' });
  const shown = new Set<number>();
  const begin = performance.now();
  let took = 0;
  const gap = await longestGap(async () => {
    whole.choose(files);
    await until(() => {
      const value = whole.progress();
      if (value !== undefined) shown.add(value);
      return value === undefined && shown.size > 0;
    });
    took = performance.now() - begin;
  });
  observer.disconnect();
  const kept = (await whole.store.heads()).length;
  whole.close();

  const part = await opened();
  part.choose(files);
  await until(() => (part.progress() ?? 0) > 0.2);
  const pressed = performance.now();
  part.cancel();
  await until(() => part.progress() === undefined);
  const cancelled = performance.now() - pressed;
  const keptThen = (await part.store.heads()).length;
  part.close();
  const longestTask = Math.max(0, ...tasks);
  return { kept, megabytes, took, idleGap, gap, longestTask, steps: shown.size, cancelled, keptThen };
}

/** The exports of 500 checks: those of the story, told again under other names, with sounds. */
async function zips(): Promise<File[]> {
  const grammar = readGrammar(
    import.meta.glob<string>('../../grammars/*.jsgf', { query: '?raw', import: 'default', eager: true }),
  );
  if (!grammar.ok) throw new Error(grammar.problem.what);
  const signer = await signerOf(await newKeyPair());
  const story = chainedStore(memoryStore(), signer, () => new Date().toISOString(), 'bench');
  const [profile] = BUILT_IN_PROFILES;
  if (profile === undefined) throw new Error('no limits');
  const language = languageOf(grammar.value);
  await loadStory(story, {
    plan: fullCabCheck as unknown as Plan,
    profile,
    lastDay: '2026-03-30',
    parse: (...said) => language.parse(...said),
  });
  const heads = await story.heads();
  const sound = writeWav(
    Float32Array.from({ length: 24_000 }, () => Math.random() - 0.5),
    16_000,
  );
  const clipDigest = await digest(sound);
  const files: File[] = [];
  for (let at = 0; at < COUNT; at += 1) {
    const log = await story.log(heads[at % heads.length]?.id ?? '');
    if (log === undefined) throw new Error('the story is empty');
    const check = `bench-${at}`;
    const events = checkEvents(log).map((event, nth) =>
      event.type === 'callout' && nth <= SOUNDS ? { ...event, clip: `${check}-${nth}`, clipDigest } : event,
    );
    const sealed = await sealedLog(
      newHeader(check, log.header.created, 'bench', signer),
      events,
      log.header.created,
      signer,
    );
    const clip = (id: string) => Promise.resolve({ id, check, kept: at, wav: new Blob([sound]) });
    files.push(
      new File(
        [await exportCheck(sealed, { signer, wall: log.header.created, known: [] }, await clipsOf({ clip }, sealed))],
        `${check}.zip`,
      ),
    );
  }
  return files;
}

async function digest(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** The Logs screen over an empty store on the disk. */
async function opened() {
  const store = chainedStore(await diskStore(ALL()), await signerOf(await newKeyPair()), () => WALL, 'bench');
  const screen = new LogsScreen();
  screen.store = store;
  document.body.append(screen);
  await screen.updateComplete;
  const door = (): ShadowRoot => {
    const root = screen.shadowRoot?.querySelector('tn-log-import')?.shadowRoot;
    if (root === null || root === undefined) throw new Error('no import on the screen');
    return root;
  };
  return {
    store,
    choose(files: readonly File[]) {
      const data = new DataTransfer();
      for (const file of files) data.items.add(file);
      const input = door().querySelector('input');
      if (input === null) throw new Error('no picker');
      input.files = data.files;
      input.dispatchEvent(new Event('change'));
    },
    progress: () => door().querySelector('progress')?.value,
    cancel: () => door().querySelector('button')?.click(),
    close: () => screen.remove(),
  };
}

const WALL = '2026-05-04T07:30:00.000Z';

/** Longest time between two frames while `does` goes on. */
async function longestGap(does: () => Promise<unknown>): Promise<number> {
  let over = false;
  let longest = 0;
  let last = performance.now();
  const frame = (now: number): void => {
    longest = Math.max(longest, now - last);
    last = now;
    if (!over) requestAnimationFrame(frame);
  };
  requestAnimationFrame((now) => {
    last = now;
    requestAnimationFrame(frame);
  });
  await does();
  over = true;
  return longest;
}

async function until(come: () => boolean): Promise<void> {
  while (!come()) await new Promise((go) => requestAnimationFrame(go));
}
