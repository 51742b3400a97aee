import { bad, good, type Outcome } from '../../units/outcome.ts';

/** The list of a model folder's files; written at build time, checked before the engine is given any of them. */
export interface ModelManifest {
  readonly name: string;
  readonly licence: string;
  readonly files: readonly ModelFile[];
}

interface ModelFile {
  readonly name: string;
  readonly bytes: number;
  /** Lower-case hex. */
  readonly sha256: string;
}

export const MANIFEST_NAME = 'manifest.json';

/** Each file the engine opens; a manifest that lacks one is of another kind of model. */
export const MODEL_FILES = [
  'mdef',
  'means',
  'variances',
  'sendump',
  'transition_matrices',
  'feat_params.json',
  'dict.txt',
  'noisedict.txt',
] as const;

export type ModelFileName = (typeof MODEL_FILES)[number];

const REPAIR = 'Run `npm run assets` to make the model folder again, then reload.';

/** Reads the text of a manifest. `where` names the folder in problems. */
export function readManifest(text: string, where: string): Outcome<ModelManifest> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return bad(
      'The list of speech model files is not valid JSON; it may be cut short.',
      `${where}/${MANIFEST_NAME}`,
      REPAIR,
    );
  }
  if (!isManifest(value)) {
    return bad('This is not the list of files of an embedded speech model.', `${where}/${MANIFEST_NAME}`, REPAIR);
  }
  const names = new Set(value.files.map((file) => file.name));
  const absent = MODEL_FILES.filter((name) => !names.has(name));
  if (absent.length > 0) {
    return bad(`The speech model has no ${absent.join(', ')}.`, `${where}/${MANIFEST_NAME}`, REPAIR);
  }
  return good(value);
}

/** Checks one file against the manifest. */
export function checkModelFile(
  manifest: ModelManifest,
  name: string,
  bytes: number,
  sha256: string,
  where: string,
): Outcome<true> {
  const wanted = manifest.files.find((file) => file.name === name);
  const place = `${where}/${name}`;
  if (wanted === undefined) return bad('The speech model does not list this file.', place, REPAIR);
  if (bytes < wanted.bytes) {
    return bad(`The speech model file is cut short: ${bytes} of ${wanted.bytes} bytes.`, place, REPAIR);
  }
  if (sha256 !== wanted.sha256) {
    return bad('The speech model file is damaged or of another version.', place, REPAIR);
  }
  return good(true);
}

/** The problem of a model file that could not be opened at all. */
export function missingModelFile(
  name: string,
  where: string,
): { readonly ok: false; readonly problem: { readonly what: string } } {
  return bad(`The speech model is missing ${name}.`, where, REPAIR);
}

function isManifest(value: unknown): value is ModelManifest {
  if (typeof value !== 'object' || value === null || !('files' in value) || !Array.isArray(value.files)) return false;
  return value.files.every(
    (file: unknown) =>
      typeof file === 'object' &&
      file !== null &&
      'name' in file &&
      typeof file.name === 'string' &&
      'bytes' in file &&
      typeof file.bytes === 'number' &&
      'sha256' in file &&
      typeof file.sha256 === 'string',
  );
}
