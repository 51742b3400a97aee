import { wordlist } from '@scure/bip39/wordlists/english.js';
import type { PublicKey } from './log.ts';
import { thumbprint } from './signer.ts';

const WORDS = 6;
const BITS = 11;

/**
 * Six short words for a key, to be compared by voice: the first 66 bits of its thumbprint (RFC 7638), eleven a word, in the
 * English word list of BIP 39, whose words differ in their first four letters.
 */
export async function keyWords(key: PublicKey): Promise<string> {
  const bits = BigInt(`0x${(await thumbprint(key)).slice(0, 20)}`);
  return Array.from({ length: WORDS }, (_, at) => {
    const shift = BigInt(80 - BITS * (at + 1));
    return wordlist[Number((bits >> shift) & 0x7ffn)];
  }).join(' ');
}
