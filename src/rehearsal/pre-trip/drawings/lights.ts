import { look, spot, type Drawing, type Look } from '../drawing.ts';
import { circle, path, rays, rect, words, type Shape } from '../shapes.ts';

/** Lamps in a row by what they are called: some dark, one with a lens that is in two pieces. */
interface Row {
  readonly named: readonly string[];
  /** By the id of a look: which lamps are dark, by their number from 0. */
  readonly dark: Readonly<Record<string, readonly number[]>>;
}

function row({ named, dark }: Row): Drawing {
  const apart = 300 / named.length;
  const r = Math.min(34, apart / 2 - 14);
  const lamps = named.map((name, at) => ({ name, id: `lamp-${at + 1}`, x: Math.round(10 + apart * (at + 0.5)) }));
  const lit = (out: readonly number[]): Shape[] =>
    lamps.flatMap(({ x }, at) =>
      out.includes(at) ? [circle(x, 90, r, 'thin')] : [circle(x, 90, r, 'glow'), ...rays(x, 90, r)],
    );
  const told = (out: readonly number[]): string => {
    const names = (which: boolean): string =>
      lamps
        .filter((_, at) => out.includes(at) === which)
        .map(({ name }) => name)
        .join(', ');
    const shine = names(false) === '' ? 'None shines.' : `These shine: ${names(false)}.`;
    return out.length === 0
      ? `Switched on. All shine: ${names(false)}.`
      : `Switched on. ${shine} The glass stays dark: ${names(true)}.`;
  };
  const dim = (out: readonly number[]): Look =>
    look(
      told(out),
      out.map((at) => `lamp-${at + 1}`),
      lit(out),
    );
  const [first] = lamps;
  const x = first?.x ?? 0;
  return {
    base: [rect(6, 36, 308, 108), words(116, 178, 'switched on')],
    spots: Object.fromEntries(
      lamps.map(({ id, name, x: at }) => [
        id,
        spot(Math.round(at - apart / 2 + 2), 40, Math.round(apart - 4), 100, name),
      ]),
    ),
    looks: {
      good: look(told([]), [], lit([])),
      ...Object.fromEntries(Object.entries(dark).map(([id, out]) => [id, dim(out)])),
      lens: look(
        `Switched on. All shine; across the lens of ${first?.name ?? 'one lamp'} runs a jagged line, and a corner of it lies open.`,
        ['lamp-1'],
        lit([]),
        path(`M${x - r} 78l${Math.round(r * 0.8)} 12l-6 8l${Math.round(r * 1.1)} 14`, 'line'),
        path(`M${x + 6} ${90 - r}l${r - 6} ${r - 8}`, 'line'),
      ),
    },
  };
}

const PAIR = ['the left lamp', 'the right lamp'];

export const LAMPS: Drawing = row({ named: PAIR, dark: { one: [0], all: [0, 1] } });

export const SIGNAL: Drawing = row({ named: ['the front lamp', 'the side lamp', 'the rear lamp'], dark: { all: [2] } });

const ALONG = ['the first lamp', 'the second lamp', 'the third lamp', 'the fourth lamp', 'the fifth lamp'];

export const LAMP_ROW: Drawing = row({ named: ALONG, dark: { one: [3], four: [0, 1, 3, 4], all: [0, 1, 2, 3, 4] } });
