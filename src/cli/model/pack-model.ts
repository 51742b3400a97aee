import { gzipSync } from 'node:zlib';
import { packTar } from 'modern-tar';

/** Files of a model by path, in the form the engine takes: a tar of one directory, gzipped. */
export async function packModel(
  files: Readonly<Record<string, string | Uint8Array>>,
  directory: string,
): Promise<Uint8Array<ArrayBuffer>> {
  const paths = Object.keys(files);
  const folders = new Set(paths.flatMap((path) => parents(`${directory}/${path}`)));
  const tar = await packTar([
    ...[...folders].map((name) => ({
      header: { name: `${name}/`, type: 'directory' as const, size: 0, mtime: EPOCH },
    })),
    ...Object.entries(files).map(([path, body]) => {
      const bytes = typeof body === 'string' ? new TextEncoder().encode(body) : body;
      return { header: { name: `${directory}/${path}`, size: bytes.length, mtime: EPOCH }, body: bytes };
    }),
  ]);
  return new Uint8Array(gzipSync(tar, { level: 9 }));
}

/** Fixed, so that equal files give an equal archive and checksum. */
const EPOCH = new Date(0);

function parents(path: string): string[] {
  const parts = path.split('/').slice(0, -1);
  return parts.map((_, index) => parts.slice(0, index + 1).join('/'));
}
