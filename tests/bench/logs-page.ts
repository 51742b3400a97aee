import { openDB } from 'idb';
import { memoryStore } from '../../src/record/memory-store.ts';
import { chainedStore } from '../../src/record/chained-store.ts';
import { diskStore } from '../../src/record/disk-store.ts';
import type { CheckHead } from '../../src/record/record-store.ts';
import { newKeyPair, signerOf } from '../../src/record/signer.ts';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import fullCabCheck from '../../src/check/plans/full-cab-check.json';
import type { Plan } from '../../src/check/plan.ts';
import { readGrammar } from '../../src/grammar/read-grammar.ts';
import { languageOf } from '../../src/running/language.ts';
import { loadStory } from '../../src/ui/logs/story-logs.ts';
import type { LogList } from '../../src/ui/logs/log-list.ts';
import { LogsScreen } from '../../src/ui/logs/logs-screen.ts';
import '../../src/ui/shared/page.css';

/** What `tests/bench/logs.ts` runs in the browser. Times in ms, sizes in MB. */
export interface LogsFigures {
  readonly firstRows: number;
  readonly filters: readonly number[];
  readonly driftKnown: number;
  readonly rowsDrawn: number;
}

const RIGS = 40;
const DAY = 86_400_000;
const COUNT = 10_000;
/** The story told over so many days, again and again. */
const STORY_DAYS = 60;

/** Fills the browser's own store with the heads of 10,000 checks of forty rigs, made of those of the story. */
export async function fill(): Promise<void> {
  const grammar = readGrammar(
    import.meta.glob<string>('../../grammars/*.jsgf', { query: '?raw', import: 'default', eager: true }),
  );
  if (!grammar.ok) throw new Error(grammar.problem.what);
  const signer = await signerOf(await newKeyPair());
  const story = chainedStore(memoryStore(), signer, () => new Date().toISOString(), 'bench');
  const [profile] = BUILT_IN_PROFILES;
  if (profile === undefined) throw new Error('no limits');
  const plan = fullCabCheck as Plan;
  const language = languageOf(grammar.value);
  await loadStory(story, { plan, profile, lastDay: '2026-03-30', parse: (...said) => language.parse(...said) });
  const heads = await story.heads();
  await diskStore('bench-logs');
  // Past the store, which waits for the disk after each.
  const db = await openDB('bench-logs');
  const tx = db.transaction('checks', 'readwrite');
  await Promise.all(Array.from({ length: COUNT }, (_, at) => tx.store.put(head(heads, at))));
  await tx.done;
  db.close();
}

/** Every fourth rig ages as Ladder 36 does, the others stay as Engine 31; a check a day. */
function head(heads: readonly CheckHead[], at: number): CheckHead {
  const rig = at % RIGS;
  const day = Math.floor(at / RIGS);
  const own = heads.filter(({ rigId }) => rigId === (rig % 4 === 0 ? 'ladder-36' : 'engine-31'));
  const from = own[Math.floor((day * own.length) / STORY_DAYS) % own.length];
  if (from === undefined) throw new Error('the story is empty');
  const startedAt = new Date(Date.UTC(2026, 2, 30) - day * DAY + rig * 60_000).toISOString();
  return { ...from, id: `bench-${at}`, rigId: `rig-${rig}`, rigName: `Rig ${rig}`, startedAt };
}

/** Opens the screen over the filled store, and filters it as a person would. */
export async function measure(): Promise<LogsFigures> {
  const signer = await signerOf(await newKeyPair());
  const store = chainedStore(await diskStore('bench-logs'), signer, () => new Date().toISOString(), 'bench');
  const begin = performance.now();
  const screen = new LogsScreen();
  screen.store = store;
  document.body.append(screen);
  await until(() => rows(screen) > 0);
  const firstRows = performance.now() - begin;
  const rowsDrawn = rows(screen);
  await until(() => counted(screen).startsWith('10000 '));
  await until(() => text(screen).includes('rig drifts'));
  const driftKnown = performance.now() - begin;
  const filters: number[] = [];
  for (const query of [
    'text=lindqvist',
    'rig=rig-7',
    'step=applied-leakage&verdict=fail',
    'unsigned=1',
    'drifting=1',
    'text=rig%2012%20fail',
    '',
  ]) {
    const start = performance.now();
    screen.query = query;
    await screen.updateComplete;
    await screen.shadowRoot?.querySelector<LogList>('tn-log-list')?.updateComplete;
    await new Promise((drawn) => requestAnimationFrame(drawn));
    filters.push(performance.now() - start);
  }
  return { firstRows, filters, driftKnown, rowsDrawn };
}

function list(screen: LogsScreen): ShadowRoot | null | undefined {
  return screen.shadowRoot?.querySelector('tn-log-list')?.shadowRoot;
}
const rows = (screen: LogsScreen): number => list(screen)?.querySelectorAll('li').length ?? 0;
const text = (screen: LogsScreen): string => list(screen)?.textContent ?? '';
const counted = (screen: LogsScreen): string => screen.shadowRoot?.querySelector('.count')?.textContent.trim() ?? '';

async function until(come: () => boolean): Promise<void> {
  while (!come()) await new Promise((go) => requestAnimationFrame(go));
}
