/** What the system's errors mean to a person, by their codes. */
const MEANINGS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder.',
  ENOTDIR: 'a part of the path is a file, not a folder.',
  EISDIR: 'this is a folder, not a file.',
  EACCES: 'it may not be read or written.',
  EPERM: 'the system does not allow it.',
  EROFS: 'the disk can only be read.',
  ENOSPC: 'the disk is full.',
  EDQUOT: 'the disk is full.',
  EFBIG: 'the file is too large for the disk.',
  ELOOP: 'there are too many links in the path.',
  ENAMETOOLONG: 'the path is too long.',
  EMFILE: 'too many files are open.',
  EEXIST: 'there is something of that name already.',
  ENOTEMPTY: 'the folder is not empty.',
  EIO: 'the disk does not answer.',
  EINVAL: 'the disk does not take this.',
  ENXIO: 'nothing answers there.',
  ERR_FS_FILE_TOO_LARGE: 'the file is larger than can be read.',
  ERR_INVALID_ARG_VALUE: 'a path cannot hold that.',
};

/** One plain line for whatever was thrown, without the system's own words where they are known. */
export function plainError(error: unknown): string {
  const code = error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
  const path = error instanceof Error && 'path' in error && typeof error.path === 'string' ? `${error.path}: ` : '';
  const meaning = code === undefined ? undefined : MEANINGS[code];
  if (meaning !== undefined) return `${path}${meaning}`;
  return (error instanceof Error ? error.message : String(error)).replace(/\s+/g, ' ');
}
