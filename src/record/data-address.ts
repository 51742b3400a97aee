/** Bytes as an address that has them in it, so that a page needs no file beside it. */
export function dataAddress(bytes: Uint8Array, type: string): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return `data:${type};base64,${btoa(text)}`;
}
