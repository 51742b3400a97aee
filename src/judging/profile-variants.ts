/**
 * One document often gives the same limits for one vehicle and for several, but for a value or two. Such a built-in file holds the
 * limits for one, and in `variants` what is different for each of the others.
 */
interface ProfileFile {
  readonly tests: readonly { readonly test: string; readonly limits: readonly LimitFile[] }[];
  readonly variants?: readonly Variant[];
}

type LimitFile = Readonly<Record<string, unknown>>;

interface Variant {
  readonly id: string;
  readonly title: string;
  /** `to`: what takes the place of the same entries of the limit on this figure of this test. */
  readonly changes: readonly { readonly test: string; readonly figure: string; readonly to: LimitFile }[];
}

/** The profiles of a file, each whole and yet to be read by `readProfile`: the first as it stands, then its variants. */
export function withVariants({ variants = [], ...first }: ProfileFile): readonly unknown[] {
  return [first, ...variants.map((variant) => varied(first, variant))];
}

function varied(first: Omit<ProfileFile, 'variants'>, { changes, ...names }: Variant): unknown {
  const used = new Set<unknown>();
  const tests = first.tests.map((entry) => ({
    ...entry,
    limits: entry.limits.map((limit) => {
      const change = changes.find(({ test, figure }) => test === entry.test && figure === limit['figure']);
      if (change === undefined) return limit;
      used.add(change);
      return { ...limit, ...change.to };
    }),
  }));
  const idle = changes.find((change) => !used.has(change));
  if (idle !== undefined) throw new Error(`${names.id} changes no ${idle.figure} of ${idle.test}`);
  return { ...first, ...names, tests };
}
