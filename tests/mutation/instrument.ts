import { cp, mkdir, mkdtemp, readdir, readFile, stat, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { offsetOf, type Mutant } from './mutant.ts';

/** A copy of the repository in which every mutant lies ready and none is active. */
export interface InstrumentedCopy {
  readonly root: string;
  readonly mutants: readonly Mutant[];
  /** The instrumented files as they were, by path from the root. */
  readonly originals: ReadonlyMap<string, string>;
}

/** What is copied; `public` and `node_modules` are only linked to, since nothing in them is changed. */
const COPIED = ['src', 'tests', 'grammars', 'model', 'package.json', 'tsconfig.json', 'vite.config.ts'];
const COPIED_TOO = ['vitest.config.ts', 'index.html', 'README.md', 'DEVELOPERS.md'];
const LINKED = ['node_modules', 'public'];
const SWITCH = 'tests/mutation/switch.ts';

/** Copies `repository` to a folder of its own and instruments the TypeScript files under `paths` (files or folders). */
export async function instrumentedCopy(repository: string, paths: readonly string[]): Promise<InstrumentedCopy> {
  const root = await mkdtemp(join(tmpdir(), 'two-needles-mutation-'));
  for (const name of [...COPIED, ...COPIED_TOO]) {
    if (await exists(join(repository, name))) await cp(join(repository, name), join(root, name), { recursive: true });
  }
  for (const name of LINKED) await symlink(join(repository, name), join(root, name));

  await addNumberMutator();
  const files = await sourcesUnder(repository, paths);
  const originals = new Map(
    await Promise.all(files.map(async (file) => [file, await readFile(join(repository, file), 'utf8')] as const)),
  );
  const instrumenter = new Instrumenter(SILENT);
  const result = await instrumenter.instrument(
    [...originals].map(([name, content]) => ({ name, content, mutate: true })),
    { plugins: ['decorators-legacy', 'classProperties'], excludedMutations: [], ignorers: [] },
  );
  for (const { name, content } of result.files) {
    const path = join(root, name);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, `import '${relative(dirname(name), SWITCH)}';\n${content}`);
  }
  const mutants = result.mutants.map(({ id, fileName, location: { start, end }, mutatorName, replacement }) => {
    const text = originals.get(fileName) ?? '';
    const original = text.slice(offsetOf(text, start), offsetOf(text, end));
    const key = `${fileName}:${start.line + 1}:${start.column + 1} ${original} -> ${replacement}`;
    return { id, key, file: fileName, mutator: mutatorName, start, end, original, replacement };
  });
  return { root, mutants, originals };
}

/** All TypeScript files under the paths, in order, without type declarations. */
export async function sourcesUnder(root: string, paths: readonly string[]): Promise<string[]> {
  const found: string[] = [];
  for (const path of paths) {
    if ((await stat(join(root, path))).isFile()) found.push(path);
    else {
      const inside = await readdir(join(root, path), { recursive: true });
      found.push(...inside.map((name) => join(path, name)));
    }
  }
  return [...new Set(found)].filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts')).sort();
}

async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}

const nothing = (): void => undefined;
const no = (): boolean => false;
const SILENT = {
  ...{ isTraceEnabled: no, isDebugEnabled: no, isInfoEnabled: no, isWarnEnabled: no, isErrorEnabled: no },
  ...{ isFatalEnabled: no, trace: nothing, debug: nothing, info: nothing, warn: nothing, error: nothing },
  fatal: nothing,
};

/** The little of a Babel path that the number mutator looks at. */
interface NodePath {
  isNumericLiteral(): boolean;
  readonly node: { readonly value: number };
  readonly key: string | number | null;
  readonly parent: {
    readonly type: string;
    readonly operator?: string;
    readonly left?: { readonly computed?: boolean };
  };
}

interface NodeMutator {
  readonly name: string;
  mutate(path: NodePath): Iterable<{ readonly type: 'NumericLiteral'; readonly value: number }>;
}

/**
 * The instrumenter leaves numbers alone; here limits, times and thresholds are what matters. Its list of mutators is not
 * among its exports, so it is reached by its place.
 */
async function addNumberMutator(): Promise<void> {
  const place = new URL('./mutators/mutate.js', import.meta.resolve('@stryker-mutator/instrumenter'));
  const { allMutators } = (await import(place.href)) as { allMutators: NodeMutator[] };
  if (allMutators.some(({ name }) => name === 'NumericLiteral')) return;
  allMutators.push({
    name: 'NumericLiteral',
    *mutate(path) {
      if (path.isNumericLiteral() && !isFallback(path))
        for (const value of insteadOf(path.node.value)) yield numeric(value);
    },
  });
}

/** True for the 0 of `list[at] ?? 0`: the compiler asks for it where the index is always there. */
function isFallback({ key, parent }: NodePath): boolean {
  return (
    parent.type === 'LogicalExpression' && parent.operator === '??' && key === 'right' && parent.left?.computed === true
  );
}

function numeric(value: number): { readonly type: 'NumericLiteral'; readonly value: number } {
  return { type: 'NumericLiteral', value };
}

/** Twice and half the number; 1 in the place of 0. */
function insteadOf(value: number): readonly number[] {
  if (value === 0) return [1];
  return [value * 2, Number.isInteger(value) ? Math.floor(value / 2) : value / 2];
}
