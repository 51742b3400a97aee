import { packModel as pack } from '../../../src/cli/model/pack-model.ts';

/** Files of a model by path, as an archive of one folder. */
export function packModel(
  files: Readonly<Record<string, string | Uint8Array>>,
  folder = 'tiny-model',
): Promise<Uint8Array> {
  return pack(files, folder);
}
