import { randomUUID } from 'node:crypto';
import { mkdir, statfs } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { neededWords } from '../../hearing/models/inspect.ts';
import { openModelLibrary } from '../../hearing/models/library.ts';
import type { ModelLibrary } from '../../hearing/models/library.ts';
import type { StoredModel } from '../../hearing/models/records.ts';
import { megabytes } from '../../hearing/models/megabytes.ts';
import { bad, good, problemLine } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { folderShelf } from './folder-shelf.ts';
import { readOptions } from '../shared/read-options.ts';
import { plainError } from '../shared/plain-error.ts';
import { readArchive } from './read-archive.ts';
import { loadGrammar } from '../shared/read-inputs.ts';
import { serveModel } from './served-folder.ts';
import { usableFolder } from '../shared/usable-folder.ts';

const USAGE = `usage: npm run -s model -- URL|FILE [--sha256 HEX] [--to FOLDER]

Checks a Vosk model archive (tar.gz or zip) and puts it into public/models/, from where the app offers it to every
device of the station. A download that broke off is resumed when the same command is given again.
Exit status: 0 done, 2 unusable.`;

export interface ModelOutput {
  out(text: string): void;
  err(text: string): void;
  /** Replaces the line before it; called often. */
  progress(text: string): void;
}

export interface ModelFolders {
  /** Where the app is served from. */
  readonly served: string;
  /** Where downloads wait until they are whole and checked: outside `served`, so that no build ever takes one in. */
  readonly incoming: string;
}

/** `npm run model`. Returns the exit status. */
export async function modelCommand(
  argv: readonly string[],
  folders: ModelFolders,
  output: ModelOutput,
  signal?: AbortSignal,
): Promise<number> {
  const args = readArguments(argv);
  if (!args.ok) {
    output.err(`model: ${problemLine(args.problem)}`);
    return 2;
  }
  if (args.value === 'help') {
    output.out(USAGE);
    return 0;
  }
  const served = args.value.to ?? folders.served;
  const usable = await usableFolder(served);
  const wanted = args.value;
  const added = usable.ok ? await tried(() => add(wanted, { ...folders, served }, output, signal)) : usable;
  if (!added.ok) {
    output.err(`model: ${problemLine(added.problem)}`);
    return 2;
  }
  describe(added.value.model, join(served, added.value.file), output);
  return 0;
}

/** What the disk refuses in the middle of the work is a problem of the input, too. */
async function tried<T>(work: () => Promise<Outcome<T>>): Promise<Outcome<T>> {
  try {
    return await work();
  } catch (error) {
    return bad(plainError(error));
  }
}

interface ModelArguments {
  readonly source: string;
  readonly sha256?: string;
  readonly to?: string;
}

function readArguments(argv: readonly string[]): Outcome<ModelArguments | 'help'> {
  const read = readOptions(argv, {
    sha256: { type: 'string' },
    to: { type: 'string' },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  if (values.help) return good('help');
  const [source, extra] = positionals;
  if (source === undefined || extra !== undefined)
    return bad('Name one address or one file.', undefined, 'Try --help.');
  if (source === '') return bad('The name of the file is empty.', undefined, 'Try --help.');
  if (values.to === '') return bad('The name of the folder is empty.', '--to', 'Try --help.');
  if (values.sha256 !== undefined && !/^[\da-f]{64}$/i.test(values.sha256)) {
    return bad('A SHA-256 checksum has 64 hexadecimal digits.', '--sha256', 'Copy it from the publisher.');
  }
  return good({
    source,
    ...(values.sha256 === undefined ? {} : { sha256: values.sha256 }),
    ...(values.to === undefined ? {} : { to: values.to }),
  });
}

interface Added {
  readonly model: StoredModel;
  readonly file: string;
}

async function add(
  args: ModelArguments,
  { served, incoming }: ModelFolders,
  output: ModelOutput,
  signal?: AbortSignal,
): Promise<Outcome<Added>> {
  const grammar = await loadGrammar();
  if (!grammar.ok) return grammar;
  await mkdir(incoming, { recursive: true });
  const host = { fetch: globalThis.fetch, freeSpace: () => freeSpace(incoming), newId: randomUUID };
  const library = await openModelLibrary(folderShelf(incoming), host, neededWords(grammar.value));
  const model = await fetchInto(library, args, output, signal);
  if (!model.ok) return model;
  const archive = await library.open(model.value.id);
  if (!archive.ok) return archive;
  const file = await serveModel(served, model.value, archive.value);
  await library.remove(model.value.id);
  return good({ model: model.value, file });
}

async function fetchInto(
  library: ModelLibrary,
  { source, sha256 }: ModelArguments,
  output: ModelOutput,
  signal?: AbortSignal,
): Promise<Outcome<StoredModel>> {
  if (/^https?:/i.test(source)) {
    if (!URL.canParse(source))
      return bad('This is not a complete address.', source, 'It should look like https://HOST/FILE.');
    return library.download(
      { url: source, ...(sha256 === undefined ? {} : { sha256 }) },
      {
        ...(signal === undefined ? {} : { signal }),
        onProgress: (received, total) =>
          output.progress(total === undefined ? megabytes(received) : `${megabytes(received)} of ${megabytes(total)}`),
      },
    );
  }
  const archive = await readArchive(source);
  return archive.ok ? library.addFile(archive.value, basename(source), sha256) : archive;
}

const SHOWN_WORDS = 12;

function describe(model: StoredModel, path: string, output: ModelOutput): void {
  output.out(`${model.name}: ${megabytes(model.bytes)}, ${model.vocabulary} words, now in ${path}`);
  output.out(`SHA-256 ${model.sha256}`);
  if (!model.takesPhrases) output.out('It has a fixed graph: it cannot be limited to what a step listens for.');
  if (!model.rejectsOtherSpeech) output.out('It has no word for other speech: that would be forced into callouts.');
  const missing = model.missingWords;
  if (missing.length === 0) return;
  const more = missing.length > SHOWN_WORDS ? `, and ${missing.length - SHOWN_WORDS} more` : '';
  output.out(`Words of callouts that it does not know: ${missing.slice(0, SHOWN_WORDS).join(', ')}${more}`);
}

async function freeSpace(folder: string): Promise<number | undefined> {
  const disk = await statfs(folder).catch(() => undefined);
  return disk === undefined ? undefined : disk.bavail * disk.bsize;
}
