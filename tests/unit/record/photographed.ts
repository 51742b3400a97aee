import type { CalloutEvent, CheckEvent } from '../../../src/check/event.ts';
import type { Plan } from '../../../src/check/plan.ts';
import engine from '../../../src/items/lists/engine-compartment.json';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { headOfLog } from '../../../src/record/judged.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { EntryStore } from '../../../src/record/record-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { CheckPhotos } from '../../../src/running/check-photos.ts';
import { startOf } from '../check/support/say.ts';
import { APP, newSigner, WALL } from './logs.ts';

const PLAN = { format: 'two-needles-plan', version: 1, id: 'walk', title: 'Walk', steps: [engine] } as unknown as Plan;

const callout = (at: number, heard: string, meaning: NonNullable<CalloutEvent['meaning']>): CalloutEvent => ({
  ...{ type: 'callout', at, end: at + 1000, heard, confidence: 1, source: 'voice', meaning },
});

/** The photos of a check whose log goes into a store, as they go beside a check that runs. */
export function takenOn(
  store: Pick<EntryStore, 'keepClip' | 'clip' | 'dropClip'>,
  keep: (event: CheckEvent) => Promise<void>,
) {
  const state = { over: false };
  const photos = new CheckPhotos(
    {
      ...{ check: 'c1', store, wall: () => WALL, now: () => 9000, keep },
      isOver: () => state.over,
      onChange: () => undefined,
    },
    [],
  );
  const take = async (item: string, bytes: string): Promise<string | undefined> => {
    await photos.act({ do: 'photo', item, picture: new Blob([bytes], { type: 'image/jpeg' }) });
    return photos.model.trouble?.line;
  };
  return { photos, take, state };
}

/** A check with a frayed belt, a photo of it, and one that was taken back. */
export async function photographed(): Promise<{ readonly store: ChainedStore; readonly signer: Signer }> {
  const signer = await newSigner();
  const store = chainedStore(memoryStore(), signer, () => WALL, APP);
  const start = startOf({ plan: PLAN });
  const head = headOfLog({ header: { check: 'c1' }, entries: [{ event: start }] } as never)!;
  await store.begin({ ...head, state: 'running' });
  let count = 0;
  const keep = async (event: CheckEvent): Promise<void> => store.append('c1', count++, event);
  await keep(start);
  await keep(callout(5000, 'belts frayed', { cues: [], items: [{ item: 'belts', state: 'frayed' }] }));
  const { photos, take } = takenOn(store, keep);
  for (const picture of ['frayed belt', 'a thumb']) await take('belts', picture);
  await photos.act({ do: 'photo-back', item: 'belts', clip: photos.model.taken[1]!.clip });
  await keep(callout(12_000, 'next', { cues: [], move: 'next' }));
  await store.close({ ...head, state: 'finished', verdict: 'incomplete' });
  return { store, signer };
}
