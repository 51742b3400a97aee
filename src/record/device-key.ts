import { openDB } from 'idb';
import type { DBSchema, IDBPDatabase } from 'idb';
import type { KeyShelf } from './key-shelf.ts';
import { memoryKeys } from './key-shelf.ts';
import type { KnownKey } from './known-keys.ts';
import type { LastSeal, SealChain } from './seal-chain.ts';
import { memorySeals } from './seal-chain.ts';
import { newKeyPair, signerOf } from './signer.ts';
import type { Signer } from './signer.ts';

interface KeySchema extends DBSchema {
  keys: {
    key: 'device' | 'last' | 'known' | 'name';
    value: CryptoKeyPair | LastSeal | readonly KnownKey[] | string;
  };
}

const DATABASE = 'two-needles-key';
const DURABLE = { durability: 'strict' } as const;

/** What this device signs with, where its seals stand, and whose keys it knows. */
export interface Device {
  readonly signer: Signer;
  readonly seals: SealChain;
  readonly keys: KeyShelf;
}

/**
 * This device's key is made once and kept in IndexedDB, where scripts can use but not read it. Where nothing can be kept
 * (private window), it serves until the page closes; its logs verify all the same, the header names its key.
 * `locks` keep tabs from sealing at the same time.
 */
export async function openDevice(locks: Pick<LockManager, 'request'> | undefined, name = DATABASE): Promise<Device> {
  // Made beforehand: waiting for it inside the transaction would end the transaction.
  const fresh = await newKeyPair();
  try {
    const db = await openDB<KeySchema>(name, 1, { upgrade: (database) => void database.createObjectStore('keys') });
    return { signer: await signerOf(await kept(db, fresh)), seals: keptSeals(db, locks), keys: keptKeys(db) };
  } catch {
    return { signer: await signerOf(fresh), seals: memorySeals(), keys: memoryKeys() };
  }
}

async function kept(db: IDBPDatabase<KeySchema>, fresh: CryptoKeyPair): Promise<CryptoKeyPair> {
  const tx = db.transaction('keys', 'readwrite');
  const earlier = (await tx.store.get('device')) as CryptoKeyPair | undefined;
  if (earlier === undefined) await tx.store.put(fresh, 'device');
  await tx.done;
  return earlier ?? fresh;
}

async function put(
  db: IDBPDatabase<KeySchema>,
  key: KeySchema['keys']['key'],
  value: KeySchema['keys']['value'],
): Promise<void> {
  const tx = db.transaction('keys', 'readwrite', DURABLE);
  await Promise.all([tx.store.put(value, key), tx.done]);
}

function keptSeals(db: IDBPDatabase<KeySchema>, locks: Pick<LockManager, 'request'> | undefined): SealChain {
  const tab = memorySeals();
  return {
    inTurn: (work) =>
      tab.inTurn(() =>
        locks === undefined ? work() : locks.request('two-needles seal', () => work()).then((done) => done),
      ),
    last: async () => (await db.get('keys', 'last')) as LastSeal | undefined,
    keep: (seal) => put(db, 'last', seal),
  };
}

function keptKeys(db: IDBPDatabase<KeySchema>): KeyShelf {
  return {
    name: async () => ((await db.get('keys', 'name')) as string | undefined) ?? '',
    rename: (name) => put(db, 'name', name),
    known: async () => ((await db.get('keys', 'known')) as readonly KnownKey[] | undefined) ?? [],
    keep: (known) => put(db, 'known', known),
  };
}
