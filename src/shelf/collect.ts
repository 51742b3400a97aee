import { standingOf, type KnownKey } from '../record/known-keys.ts';
import type { Problem } from '../units/outcome.ts';
import type { Desk } from './desk.ts';
import type { Finding } from './finding.ts';
import { tellChains } from './head-chains.ts';
import { isStation, RETENTION } from './names.ts';
import { patient, type Sleep } from './patient.ts';
import type { Place } from './place.ts';
import { isStatementName, readRetention, type Retention } from './retention.ts';
import { StationReader } from './station-reader.ts';

export interface CollectParts {
  readonly place: Place;
  readonly desk: Desk;
  readonly known: readonly KnownKey[];
  /** The first day that is collected. */
  readonly since: string;
  /** One station; all when absent. */
  readonly station?: string;
  /** Sounds, too. */
  readonly clips: boolean;
  /** What is kept already is fetched and compared again. */
  readonly again: boolean;
  readonly sleep: Sleep;
  readonly tell: (finding: Finding) => void;
}

/** Takes from a shelf what the desk does not have, verifies all of it, and tells what is wrong or missing. False when it broke off. */
export async function collect(parts: CollectParts): Promise<boolean> {
  const place = patient(parts.place, parts.sleep);
  const broke = (problem: Problem): false => {
    parts.tell({ kind: 'broke-off', problem });
    return false;
  };
  const top = parts.station === undefined ? await place.list('') : undefined;
  if (top?.kind === 'refused') return broke(top.problem);
  for (const name of top?.files ?? []) parts.tell({ kind: 'stray', name });
  // One that was there once, and is not listed any more, has vanished as a whole.
  const all = [...(top?.folders ?? []), ...(await parts.desk.stations())];
  const stations = parts.station === undefined ? new Set(all) : [parts.station];
  const statements = await retentions(place, parts);
  if ('problem' in statements) return broke(statements.problem);
  const readers: StationReader[] = [];
  for (const station of stations) {
    if (station === RETENTION) continue;
    if (!isStation(station)) parts.tell({ kind: 'stray', name: station });
    else {
      const reader = new StationReader(parts, place, station, statements.read);
      const trouble = await reader.read();
      if (trouble !== undefined) return broke(trouble);
      readers.push(reader);
    }
  }
  await tellChains(
    readers.flatMap(({ seals }) => seals),
    readers.flatMap(({ named }) => named),
    parts.tell,
  );
  return true;
}

async function retentions(
  place: Pick<Place, 'get' | 'list'>,
  { known, tell }: Pick<CollectParts, 'known' | 'tell'>,
): Promise<{ readonly read: readonly Retention[] } | { readonly problem: Problem }> {
  const listed = await place.list(RETENTION);
  if (listed.kind === 'refused') return listed;
  const read: Retention[] = [];
  for (const file of listed.files) {
    const name = `${RETENTION}/${file}`;
    if (!isStatementName(file)) {
      tell({ kind: 'stray', name });
      continue;
    }
    const got = await place.get(name);
    if (got.kind === 'refused' && got.why !== 'object') return got;
    const said = got.kind === 'got' ? await readRetention(got.bytes) : undefined;
    if (said === undefined) tell({ kind: 'wrong', name, why: 'It is no word of retention that its key has signed.' });
    else if (standingOf(said.key, known).kind === 'known') read.push(said);
  }
  return { read };
}
