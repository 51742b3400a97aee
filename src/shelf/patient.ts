import type { GetAnswer, ListAnswer, Place, Refused } from './place.ts';

/** Waits so many ms. */
export type Sleep = (ms: number) => Promise<void>;

/** Between one try and the next, in ms. */
const WAITS = [500, 2_000, 8_000];
const MOST_WAIT = 60_000;

/** A place that a reader stands before: what is only busy or does not answer is asked again, three times. */
export function patient(place: Place, sleep: Sleep): Pick<Place, 'get' | 'list'> {
  const again = async <T extends { readonly kind: string }>(ask: () => Promise<T | Refused>): Promise<T | Refused> => {
    for (const wait of WAITS) {
      const answer = await ask();
      if (!isRefused(answer) || (answer.why !== 'offline' && answer.why !== 'busy')) return answer;
      await sleep(Math.min(MOST_WAIT, Math.max(wait, answer.after ?? 0)));
    }
    return ask();
  };
  return {
    get: (name) => again<Exclude<GetAnswer, Refused>>(() => place.get(name)),
    list: (folder) => again<Exclude<ListAnswer, Refused>>(() => place.list(folder)),
  };
}

function isRefused(answer: { readonly kind: string }): answer is Refused {
  return answer.kind === 'refused';
}

/** Does the work for each, at most so many at a time; ends early when one says so, by returning something. */
export async function eachOf<T, E>(
  items: readonly T[],
  most: number,
  work: (item: T) => Promise<E | undefined>,
): Promise<E | undefined> {
  const waiting = [...items];
  let ended: E | undefined;
  const one = async (): Promise<void> => {
    for (let item = waiting.shift(); item !== undefined && ended === undefined; item = waiting.shift())
      ended ??= await work(item);
  };
  await Promise.all(Array.from({ length: most }, one));
  return ended;
}
