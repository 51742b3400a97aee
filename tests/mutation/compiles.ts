import { dirname, join, relative } from 'node:path';
import ts from 'typescript';
import type { InstrumentedCopy } from './instrument.ts';
import { withMutant, type Mutant } from './mutant.ts';

/** Tells of mutants whether the compiler takes them; unused names are nothing to it here. */
export function createCompiler({ root, originals }: InstrumentedCopy): (mutant: Mutant) => boolean {
  const config = join(root, 'tsconfig.json');
  const { options, fileNames } = ts.parseJsonConfigFileContent(
    ts.readConfigFile(config, (path) => ts.sys.readFile(path)).config,
    ts.sys,
    dirname(config),
    { noUnusedLocals: false, noUnusedParameters: false, allowUnreachableCode: true, allowUnusedLabels: true },
    config,
  );
  const sources = fileNames.filter((name) => name.startsWith(join(root, 'src')));
  let changed: { readonly path: string; readonly text: string } | undefined;
  let version = 0;
  /** A file changes when it gets a mutant, and when it loses it. */
  const versions = new Map<string, number>();
  const text = (path: string): string | undefined =>
    changed?.path === path ? changed.text : (originals.get(relative(root, path)) ?? ts.sys.readFile(path, 'utf8'));
  const service = ts.createLanguageService({
    getCompilationSettings: () => options,
    getScriptFileNames: () => sources,
    getScriptVersion: (path) => String(versions.get(path) ?? 0),
    getScriptSnapshot: (path) => {
      const content = text(path);
      return content === undefined ? undefined : ts.ScriptSnapshot.fromString(content);
    },
    getCurrentDirectory: () => root,
    getDefaultLibFileName: (given) => ts.getDefaultLibFilePath(given),
    fileExists: (path) => ts.sys.fileExists(path),
    readFile: text,
    readDirectory: (...given) => ts.sys.readDirectory(...given),
    directoryExists: (path) => ts.sys.directoryExists(path),
    getDirectories: (path) => ts.sys.getDirectories(path),
  });

  return (mutant) => {
    const path = join(root, mutant.file);
    if (changed !== undefined && changed.path !== path) versions.set(changed.path, (version += 1));
    changed = { path, text: withMutant(originals.get(mutant.file) ?? '', mutant) };
    versions.set(path, (version += 1));
    return service.getSyntacticDiagnostics(path).length === 0 && service.getSemanticDiagnostics(path).length === 0;
  };
}
