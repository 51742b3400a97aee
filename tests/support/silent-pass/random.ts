/** Numbers from 0 up to 1. */
export type Random = () => number;

export function chance(random: Random, share: number): boolean {
  return random() < share;
}

export function pick<T>(random: Random, from: readonly T[]): T {
  const one = from[Math.floor(random() * from.length)];
  if (one === undefined) throw new Error('nothing to pick from');
  return one;
}

export function between(random: Random, min: number, max: number): number {
  return min + random() * (max - min);
}
