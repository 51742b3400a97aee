import { duplicateMember } from './duplicate-members.ts';
import type { Files } from './contents.ts';
import { sha256 } from '../units/sha256.ts';
import type { Fault } from './fault.ts';
import { UNCHAINED_VERSION, type LogFile, type PublicKey } from './log.ts';
import { MANIFEST_NAME, readSignedManifest } from './manifest.ts';

/** What was found of the files beside a log. */
export interface Beside {
  readonly faults: readonly Fault[];
  /** Names of the files that are what the manifest binds, and of those it binds that are not there (taken out: no fault). */
  readonly bound: readonly string[];
  readonly gone: readonly string[];
  /** Files of a log of version 1, which nothing binds. */
  readonly loose: readonly string[];
  /** The key that bound them. */
  readonly packer?: PublicKey;
}

const NONE: Beside = { faults: [], bound: [], gone: [], loose: [] };
const UTF8 = new TextDecoder();

/** Checks the files beside a log, but for its clips: each has to be the one that the signed manifest names. */
export async function besideFaults(log: LogFile, files: Files): Promise<Beside> {
  const names = [...files.keys()].filter((name) => name !== MANIFEST_NAME);
  const manifest = await files.get(MANIFEST_NAME)?.();
  if (manifest === undefined) {
    if (log.header.version === UNCHAINED_VERSION) return { ...NONE, loose: names };
    return {
      ...NONE,
      faults: names.map((name) => fault(`${name} is bound to the log by nothing: there is no manifest.`)),
    };
  }
  const text = manifest.ok ? UTF8.decode(manifest.value) : '';
  const said = await readSignedManifest(text, log);
  if (typeof said === 'string') return { ...NONE, faults: [fault(said)] };
  const twice = duplicateMember(text);
  if (twice !== undefined) return { ...NONE, faults: [fault(`${MANIFEST_NAME} names ${twice} twice.`)] };
  const faults: Fault[] = [];
  const bound: string[] = [];
  for (const name of names) {
    const digest = Object.hasOwn(said.files, name) ? said.files[name] : undefined;
    const bytes = await files.get(name)?.();
    if (digest === undefined) faults.push(fault(`${name} was put beside the log: the manifest does not name it.`));
    else if (bytes?.ok !== true || (await sha256(bytes.value)) !== digest)
      faults.push(fault(`${name} is not the file that was sealed.`));
    else bound.push(name);
  }
  const gone = Object.keys(said.files).filter((name) => !files.has(name));
  return { faults, bound, gone, loose: [], packer: said.key };
}

function fault(what: string): Fault {
  return { kind: 'file', what };
}
