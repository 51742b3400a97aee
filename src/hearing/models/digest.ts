/** SHA-256 of a blob in lower-case hex (FIPS 180-4, through WebCrypto). */
export async function sha256Of(blob: Blob): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', await blob.arrayBuffer());
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
