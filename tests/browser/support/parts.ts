import { readGrammar } from '../../../src/grammar/read-grammar.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import fullCabCheck from '../../../src/check/plans/full-cab-check.json';
import type { Answer } from '../../../src/check/answer.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { tabClaims } from '../../../src/record/claims.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { neededWords } from '../../../src/hearing/models/inspect.ts';
import type { NeededWords } from '../../../src/hearing/models/inspect.ts';
import { openModelLibrary } from '../../../src/hearing/models/library.ts';
import { memoryShelf } from '../../../src/hearing/models/shelf.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import { memoryRehearsals } from '../../../src/record/rehearsal-shelf.ts';
import type { EntryStore } from '../../../src/record/record-store.ts';
import { newKeyPair, signerOf } from '../../../src/record/signer.ts';
import { bad } from '../../../src/units/outcome.ts';
import type { Ear, EarEvents } from '../../../src/running/ear.ts';
import { noEar } from '../../../src/running/ear.ts';
import { EarModels } from '../../../src/running/ear-models.ts';
import { languageOf } from '../../../src/running/language.ts';
import type { Speech } from '../../../src/running/live-check.ts';
import type { AppParts } from '../../../src/ui/shell/app-parts.ts';
import type { TwoNeedles } from '../../../src/ui/shell/two-needles.ts';
import '../../../src/ui/shell/two-needles.ts';
import '../../../src/ui/shared/page.css';

const SOURCES: Record<string, string> = import.meta.glob('../../../grammars/*.jsgf', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** A page clock that tests move by hand, and everything that hangs on it. */
export class Bench {
  now = 1000;
  readonly ticks = new Set<() => void>();
  readonly spoken: Answer[] = [];
  listener: EarEvents | undefined;
  stored = new Map<string, unknown>();

  /** Lets time pass, in seconds of the page's own ticking. */
  async pass(ms: number): Promise<void> {
    for (let left = ms; left > 0; left -= 1000) {
      this.now += Math.min(1000, left);
      for (const tick of this.ticks) tick();
    }
    await settle();
  }

  async parts(overrides: Partial<AppParts> = {}): Promise<AppParts> {
    const grammar = readGrammar(SOURCES);
    if (!grammar.ok) throw new Error(grammar.problem.what);
    const speech: Speech = {
      speak: (answers) => this.spoken.push(...answers),
      sound: () => undefined,
      operator: () => undefined,
      pass: () => undefined,
      cancel: () => undefined,
      onSpeaking: undefined,
      caption: (answer) => answer.type,
    };
    return {
      language: languageOf(grammar.value),
      plans: [fullCabCheck as Plan],
      profiles: BUILT_IN_PROFILES,
      store: await chained(await diskStore(`test-${crypto.randomUUID()}`)),
      claims: tabClaims(undefined),
      rehearsals: memoryRehearsals(),
      shelf: undefined,
      small: { get: (name) => this.stored.get(name), set: (name, value) => this.stored.set(name, value) },
      speech: () => speech,
      ear: () => noEar('No microphone: the check goes on by hand.'),
      microphones: () => Promise.resolve([]),
      ears: () => Promise.resolve([]),
      earModels: emptyEarModels(neededWords(grammar.value)),
      demoEar: () =>
        Promise.resolve(bad('The voice of the demo is missing.', 'voice/operator.bin', 'Run `npm run assets`.')),
      offline: {
        read: () =>
          Promise.resolve({
            app: 'kept',
            bytes: 23e6,
            promised: false,
            ownWords: false,
            installed: false,
            sevenDays: false,
          }),
        keepOwnWords: () => Promise.resolve(bad('No network.')),
      },
      newId: () => crypto.randomUUID(),
      stayAwake: () => () => undefined,
      prefersDark: { now: () => false, onChange: () => undefined },
      steady: () => this.now,
      wall: () => '2026-03-02T07:00:00.000Z',
      every: (_ms, tick) => {
        this.ticks.add(tick);
        return () => this.ticks.delete(tick);
      },
      wav: () => new Blob(['sound']),
      ...overrides,
    };
  }

  /** An ear that the test speaks for. */
  fakeEar(): Ear {
    return {
      open: (listener) => {
        this.listener = listener;
        listener.state('listening', 'Test ear');
        return Promise.resolve();
      },
      retry: () => Promise.resolve(),
      listenFor: () => undefined,
      talk: () => undefined,
      close: () => Promise.resolve(),
    };
  }
}

/** A store that chains and seals, over another. */
export async function chained(inner: EntryStore): Promise<ChainedStore> {
  const signer = await signerOf(await newKeyPair());
  return chainedStore(inner, signer, () => '2026-03-02T07:30:00.000Z', 'Two Needles test');
}

export async function mount(parts: AppParts): Promise<TwoNeedles> {
  const app = document.createElement('two-needles');
  if (!isApp(app)) throw new Error('two-needles is not defined');
  app.parts = parts;
  document.body.append(app);
  await settle();
  return app;
}

function isApp(element: HTMLElement): element is TwoNeedles {
  return 'parts' in element;
}

/** A device without models, which keeps what is added until the test ends. */
function emptyEarModels(needed: NeededWords): EarModels {
  const host = {
    fetch: fetch.bind(globalThis),
    freeSpace: () => Promise.resolve(3e9),
    newId: () => crypto.randomUUID(),
  };
  return new EarModels({
    open: () => openModelLibrary(memoryShelf(), host, needed),
    served: () => Promise.resolve([]),
    freeSpace: () => Promise.resolve(3e9),
  });
}

/** Lets promises, storage and rendering come to rest. */
export async function settle(): Promise<void> {
  for (let turn = 0; turn < 3; turn += 1) await new Promise((resolve) => requestAnimationFrame(resolve));
}

/** Waits until `read` gives something. */
export async function until<T>(read: () => T | undefined | null | false, what: string): Promise<T> {
  // Patience for a busy machine, in frames; what comes ends it at once.
  for (let turn = 0; turn < 6_000; turn += 1) {
    const value = read();
    if (value !== undefined && value !== null && value !== false) return value;
    await new Promise((resolve) => requestAnimationFrame(resolve));
  }
  throw new Error(`never came: ${what}`);
}

/** Every element below `root`, through shadow roots. */
export function* deep(root: ParentNode): Generator<Element> {
  for (const element of root.querySelectorAll('*')) {
    yield element;
    if (element.shadowRoot !== null) yield* deep(element.shadowRoot);
  }
}

// The caller names the element that the selector stands for, as with `querySelector`.
// oxlint-disable-next-line typescript/no-unnecessary-type-parameters
export function find<T extends Element>(selector: string, text?: string | RegExp): T | undefined {
  for (const element of deep(document.body)) {
    if (!element.matches(selector)) continue;
    const words = element.textContent.replace(/\s+/g, ' ').trim();
    if (text === undefined || (typeof text === 'string' ? words === text : text.test(words))) return element as T;
  }
  return undefined;
}

export async function press(text: string | RegExp): Promise<void> {
  const button = await until(() => find<HTMLButtonElement>('button', text), `button ${String(text)}`);
  button.click();
  await settle();
}
