import { Zip, ZipDeflate, ZipPassThrough, type ZipInputFile } from 'fflate';

/** Written bytes go to a blob, which the browser may keep on its disk, whenever there are so many. */
const BLOB_BYTES = 8 * 2 ** 20;

/** Writes a zip. Names have to differ; an equal one gets a number, as in "name (2).zip". */
export function zipWriter(): { add(name: string, bytes: Uint8Array): void; end(): Blob } {
  const blobs: Blob[] = [];
  const taken = new Set<string>();
  let parts: Uint8Array<ArrayBuffer>[] = [];
  let bytes = 0;
  const zip = new Zip((error, chunk) => {
    if (error !== null) throw error;
    parts.push(chunk);
    bytes += chunk.length;
    if (bytes < BLOB_BYTES) return;
    blobs.push(new Blob(parts));
    parts = [];
    bytes = 0;
  });
  return {
    add(name, content) {
      const free = freeName(name, taken);
      taken.add(free.toLowerCase());
      // Sound and zips hardly shrink.
      const file: ZipInputFile & { push(bytes: Uint8Array, final: boolean): void } = /\.(wav|zip)$/.test(free)
        ? new ZipPassThrough(free)
        : new ZipDeflate(free, { level: 6 });
      zip.add(file);
      file.push(content, true);
    },
    end() {
      zip.end();
      return new Blob([...blobs, ...parts], { type: 'application/zip' });
    },
  };
}

function freeName(name: string, taken: ReadonlySet<string>): string {
  const dot = name.lastIndexOf('.');
  for (let nth = 1; ; nth += 1) {
    const free = nth === 1 ? name : `${name.slice(0, dot)} (${nth})${name.slice(dot)}`;
    if (!taken.has(free.toLowerCase())) return free;
  }
}
