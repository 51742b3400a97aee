import { beforeAll, describe, expect, it, vi } from 'vitest';
import { newOfficerKey, openOfficerKey, pinTrouble, type LockedKey } from '../../../src/record/officer-key.ts';
import { waitLeft } from '../../../src/record/pin-waits.ts';
import { isSignedBy, thumbprint } from '../../../src/record/signer.ts';
import { signedAs, signedWords } from '../../../src/record/signed-as.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { newSigner, officerKey, officersLog, ownSignedLog, WALL } from './logs.ts';
import { verdictOn } from '../../support/verify-log.ts';

const PIN = '739104';
const BYTES = new TextEncoder().encode('a check');
let locked: LockedKey;
beforeAll(async () => {
  const made = await newOfficerKey(PIN, WALL, undefined, 1);
  if (!made.ok) throw new Error(made.problem.what);
  locked = made.value;
});

describe('an officer’s key', () => {
  it('is opened by its PIN, and signs for its public part', async () => {
    const opened = await openOfficerKey(locked, PIN);
    const signature = await opened!.signer.sign(BYTES);
    expect(await isSignedBy(locked.key, BYTES, signature)).toBe(true);
  });

  it.each([
    ['another PIN', (key: LockedKey) => key, '739105'],
    ['a public part that was exchanged', (key: LockedKey) => ({ ...key, key: { ...key.key, x: key.key.y } }), PIN],
    ['a sealed part that was changed', (key: LockedKey) => spoil(key), PIN],
    ['fewer rounds', (key: LockedKey) => ({ ...key, lock: { ...key.lock, rounds: 2 } }), PIN],
  ])('is not opened with %s', async (_, change, pin) => {
    expect(await openOfficerKey(change(locked), pin)).toBeUndefined();
  });

  it('is derived by so many rounds as the OWASP cheat sheet asks for (600,000; from memory), and holds no PIN', async () => {
    const before = crypto.subtle.deriveKey.bind(crypto.subtle) as (...all: unknown[]) => Promise<CryptoKey>;
    const derive = vi.spyOn(crypto.subtle, 'deriveKey');
    derive.mockImplementation((kdf, ...rest) => before({ ...(kdf as Pbkdf2Params), iterations: 1 }, ...rest));
    try {
      const made = await newOfficerKey(PIN, WALL);
      expect(derive.mock.calls[0]?.[0]).toMatchObject({ name: 'PBKDF2', hash: 'SHA-256', iterations: 600_000 });
      expect(made.ok && made.value.lock.rounds).toBe(600_000);
      expect(JSON.stringify(made)).not.toContain(PIN);
    } finally {
      derive.mockRestore();
    }
  });

  it.each(['', '12345', '123456', '654321', '000000', 'abcdef', '7'.repeat(65)])('takes no PIN like %j', (pin) => {
    expect(pinTrouble(pin)).toMatch(/PIN/);
  });
  it.each(['739104', '112233', 'two needles', 'ÄÖÜäöü1'])('takes %j', (pin) => {
    expect(pinTrouble(pin)).toBeUndefined();
  });
});

describe('wrong PINs', () => {
  it('make the next one wait longer, from the third on, up to a quarter of an hour', () => {
    const waits = [1, 2, 3, 4, 5, 20].map((count) => waitLeft({ count, last: 1000 }, 1000) / 1000);
    expect(waits).toEqual([0, 0, 5, 10, 20, 900]);
    expect(waitLeft({ count: 4, last: 1000 }, 10_999)).toBe(1);
    expect(waitLeft({ count: 4, last: 1000 }, 11_000)).toBe(0);
  });

  it('do not shut anybody out when the clock was set back', () => {
    expect(waitLeft({ count: 9, last: 1e12 }, 1000)).toBe(0);
  });
});

describe('a countersignature', () => {
  it('with the officer’s own key verifies, also by FORMAT.md alone, and says how old the key is', async () => {
    const own = await officerKey();
    const log = await ownSignedLog(await newSigner(), own);
    const { faults, countersigned } = await verifyLog(log);
    expect(faults).toEqual([]);
    expect(verdictOn(JSON.stringify(log))).toBe('verified');
    const known = [{ name: 'Capt. R. Whitehorse', key: own.signer.publicKey, officer: true }] as const;
    const [one] = countersigned;
    expect(signedWords(one!, signedAs(one!, known))).toMatch(/^with their own key [0-9a-f ]{19} \(made 2026-05-04\)$/);
    expect(signedAs(one!, [])).toEqual({ kind: 'unknown' });
    expect(signedAs(one!, undefined)).toEqual({ kind: 'unlisted' });
  });

  it('with the key of somebody else, or of a device, is not the officer’s', async () => {
    const own = await officerKey();
    const { countersigned } = await verifyLog(await ownSignedLog(await newSigner(), own));
    const key = own.signer.publicKey;
    const as = (name: string, officer?: true) =>
      signedAs(countersigned[0]!, [{ name, key, ...(officer && { officer }) }]);
    expect(as('A. Okafor', true)).toEqual({ kind: 'others', name: 'A. Okafor' });
    expect(as('Capt. R. Whitehorse')).toEqual({ kind: 'others', name: 'Capt. R. Whitehorse' });
  });

  it('that was taken from another check, or put under another name, does not verify', async () => {
    const [signer, own] = [await newSigner(), await officerKey()];
    const log = await ownSignedLog(signer, own);
    const { event } = log.entries.at(-1)!;
    const stolen = event.type === 'countersigned' ? event.own! : undefined;
    const forged = await ownSignedLog(
      signer,
      { ...own, signer: { ...own.signer, sign: () => Promise.resolve(stolen!.signature) } },
      'A. Okafor',
    );
    const { faults, countersigned } = await verifyLog(forged);
    expect(faults.map(({ what }) => what)).toEqual([
      `The signature in entry ${forged.entries.length - 1} is not of the key that is named as A. Okafor’s own.`,
    ]);
    expect(countersigned).toEqual([]);
    expect(verdictOn(JSON.stringify(forged))).toMatch(/^the officer's signature/);
  });

  it('after a forgotten PIN says that the key is a new one, and in place of which', async () => {
    const before = await officerKey();
    const own = await officerKey('2026-06-01T08:00:00.000Z', before.signer.publicKey);
    const [one] = (await verifyLog(await ownSignedLog(await newSigner(), own))).countersigned;
    const old = (await thumbprint(before.signer.publicKey)).slice(0, 4);
    expect(signedWords(one!, { kind: 'own' })).toMatch(
      new RegExp(`made 2026-06-01 in place of ${old} .*, whose PIN was forgotten\\)$`),
    );
  });

  it('without a key, as older logs have it, is readable and by name only', async () => {
    const { faults, countersigned } = await verifyLog(await officersLog(await newSigner()));
    expect(faults).toEqual([]);
    expect(signedWords(countersigned[0]!, signedAs(countersigned[0]!, []))).toBe('(name only)');
  });
});

function spoil(key: LockedKey): LockedKey {
  const { sealed } = key.lock;
  return { ...key, lock: { ...key.lock, sealed: (sealed.startsWith('0') ? '1' : '0') + sealed.slice(1) } };
}
