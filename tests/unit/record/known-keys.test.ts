import { describe, expect, it } from 'vitest';
import { keyWords } from '../../../src/record/key-words.ts';
import { keyOfQuery, keyQuery, readKeys, sealerOf, withKeys, writeKeys } from '../../../src/record/known-keys.ts';
import { thumbprint } from '../../../src/record/signer.ts';
import { logOfCheck, newSigner } from './logs.ts';
import { startOf } from '../check/support/say.ts';

/** The key of the example in RFC 7517, appendix A.1. */
const RFC_KEY = {
  kty: 'EC',
  crv: 'P-256',
  x: 'MKBCTNIcKUSDii11ySs3526iDZ8AiTo7Tu6KPAqv7D4',
  y: '4Etl6SRW2YiLUrN5vfvVHuhp7x8PxltmWWlbbM4IFyM',
} as const;

describe('the words of a key', () => {
  it('are six of the list of BIP 39, by the bits of its thumbprint', async () => {
    // python3: hashlib.sha256 of the canonical JSON, then 11 bits at a time; the list's first and last words are "abandon" and "zoo".
    expect(await thumbprint(RFC_KEY)).toBe('727f88fd634c0a57a1895a79d62ff4569384356d6ea447ab03cb046a6e619feb');
    expect(await keyWords(RFC_KEY)).toBe('include wisdom dismiss shoot scheme cloth');
  });
});

describe('a list of known keys', () => {
  const keys = [{ name: 'Engine 31 tablet', key: RFC_KEY }];

  it('is read back as it was written, also after an editor has put a byte order mark before it', () => {
    expect(readKeys(writeKeys(keys), 'k')).toEqual({ ok: true, value: keys });
    expect(readKeys(`\ufeff${writeKeys(keys)}`, 'k')).toEqual({ ok: true, value: keys });
  });

  it.each([
    ['', /cut short/],
    ['[]', /not a list of known keys/],
    [writeKeys(keys).replace('Engine 31 tablet', '\\u001b[2J'), /keys\.0\.name/],
    [writeKeys(keys).replace('Engine 31 tablet', ''), /keys\.0\.name/],
    [writeKeys(keys).replace('D4"', 'D5"'), /keys\.0\.key\.x/],
    [writeKeys(keys).replace('"crv"', '"d": "secret", "crv"'), /keys\.0\.key\.d/],
  ])('is refused when it is none: %j', (text, expected) => {
    const read = readKeys(text, 'keys.json');
    expect(!read.ok && read.problem).toMatchObject({
      where: 'keys.json',
      what: expect.stringMatching(expected) as string,
      repair: expect.stringMatching(/^Export (it again|one under Logs)/) as string,
    });
  });

  it('goes to another device in an address, and comes out the same', () => {
    const odd = { name: 'Tender 34 & “Ladder” 36 = 2 #rigs', key: RFC_KEY };
    expect(keyOfQuery(keyQuery(odd))).toEqual(odd);
    expect(keyOfQuery('rig=engine-31')).toBeUndefined();
    expect(keyOfQuery(keyQuery({ ...odd, name: ' ' }))).toBeUndefined();
  });

  it('takes a key once, under its newest name', () => {
    const renamed = { name: 'Engine 31 phone', key: RFC_KEY };
    expect(withKeys(keys, [renamed, renamed])).toEqual([renamed]);
    expect(withKeys([], [renamed, renamed])).toEqual([renamed]);
  });
});

describe('what is known of who sealed a log', () => {
  it('is told by the list alone, whatever the log says of itself', async () => {
    const [device, stranger] = [await newSigner(), await newSigner()];
    const { header } = await logOfCheck([startOf()], device);
    const list = [{ name: 'Engine 31 tablet', key: device.publicKey }];
    expect(sealerOf(header, list)).toEqual({ kind: 'known', name: 'Engine 31 tablet' });
    expect(sealerOf(header, [{ name: 'Engine 31 tablet', key: stranger.publicKey }])).toEqual({ kind: 'unknown' });
    expect(sealerOf(header, [])).toEqual({ kind: 'unknown' });
    expect(sealerOf(header, undefined)).toEqual({ kind: 'unlisted' });
    expect(sealerOf(header, [], device.publicKey)).toEqual({ kind: 'own' });
    const { header: checksum } = await logOfCheck([startOf()], { ...device, throwaway: true });
    expect(sealerOf(checksum, list)).toEqual({ kind: 'throwaway' });
  });
});
