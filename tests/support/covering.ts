/** A draw of one value for each of several things that vary: the index of each. */
type Draw = readonly number[];

/** Draws that are tried for each one that is taken. */
const TRIED = 200;

/**
 * At least `count` draws, and as many more as it takes, in which every pair of values of two things that vary occurs. `sizes` has the number of
 * values of each. The same numbers of `random` (0 up to 1) give the same draws.
 */
export function coveringPairs(sizes: readonly number[], count: number, random: () => number): readonly Draw[] {
  const open = new Set(
    sizes.flatMap((size, one) =>
      sizes.flatMap((other, two) =>
        one < two
          ? Array.from({ length: size * other }, (_, n) => pair(one, Math.floor(n / other), two, n % other))
          : [],
      ),
    ),
  );
  const draws: Draw[] = [];
  const taken = new Set<string>();
  const all = sizes.reduce((product, size) => product * size, 1);
  while (draws.length < all && (open.size > 0 || draws.length < count)) {
    let best: { readonly draw: Draw; readonly news: number } | undefined;
    for (let tried = 0; tried < TRIED; tried += 1) {
      const draw = sizes.map((size) => Math.floor(size * random()));
      if (taken.has(draw.join(' '))) continue;
      const news = pairsOf(draw).filter((each) => open.has(each)).length;
      if (best === undefined || news > best.news) best = { draw, news };
    }
    if (best === undefined) continue;
    draws.push(best.draw);
    taken.add(best.draw.join(' '));
    for (const each of pairsOf(best.draw)) open.delete(each);
  }
  return draws;
}

function pairsOf(draw: Draw): readonly string[] {
  return draw.flatMap((first, one) =>
    draw.flatMap((second, two) => (one < two ? [pair(one, first, two, second)] : [])),
  );
}

function pair(one: number, first: number, two: number, second: number): string {
  return `${one}:${first} ${two}:${second}`;
}
