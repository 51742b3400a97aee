/** A sentence without the full stop that ends it, so that it can go on. */
export function withoutStop(sentence: string): string {
  return sentence.endsWith('.') ? sentence.slice(0, -1) : sentence;
}
