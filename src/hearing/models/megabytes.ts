/** A size for people: whole megabytes, of a million bytes. */
export function megabytes(bytes: number): string {
  return bytes < 1e6 ? `${(bytes / 1e6).toFixed(2)} MB` : `${Math.round(bytes / 1e6)} MB`;
}
