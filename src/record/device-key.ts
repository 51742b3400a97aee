import { openDB } from 'idb';
import type { DBSchema } from 'idb';
import { newKeyPair, signerOf } from './signer.ts';
import type { Signer } from './signer.ts';

interface KeySchema extends DBSchema {
  keys: { key: 'device'; value: CryptoKeyPair };
}

/**
 * This device's signer. Its key is made once and kept in IndexedDB, where scripts can use but not read it. Where nothing
 * can be kept (private window), it serves until the page closes; its logs verify all the same, the header names its key.
 */
export async function deviceSigner(name = 'two-needles-key'): Promise<Signer> {
  // Made beforehand: waiting for it inside the transaction would end the transaction.
  const fresh = await newKeyPair();
  return signerOf(await kept(name, fresh).catch(() => fresh));
}

async function kept(name: string, fresh: CryptoKeyPair): Promise<CryptoKeyPair> {
  const db = await openDB<KeySchema>(name, 1, { upgrade: (database) => void database.createObjectStore('keys') });
  try {
    const tx = db.transaction('keys', 'readwrite');
    const earlier = await tx.store.get('device');
    if (earlier === undefined) await tx.store.put(fresh, 'device');
    await tx.done;
    return earlier ?? fresh;
  } finally {
    db.close();
  }
}
