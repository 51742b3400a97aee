/** 96 random bits in hex. (`crypto.randomUUID` is missing on pages without a secure context.) */
export function randomId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
