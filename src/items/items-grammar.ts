import { GENERAL_BAD, waysOf, type Item, type ItemPlace } from './item.ts';

/** The rule of the grammar that `itemsGrammar` makes which hears everything; that of one place is `placeRule`. */
export const ITEMS_RULE = 'items';
export const ITEMS_FILE = 'items.jsgf';

/** The rule that hears what is said at one place, and every “back to …”. */
export function placeRule(place: string): string {
  return `items-at-${place}`;
}

/** Whole numbers from 0 to 199: "one oh five", "one ten", "a hundred and five". */
const HUNDREDS = [
  '<hundred> = [a | one] hundred {add 100};',
  '<tens> = <teens> | (<low-tens> | <high-tens>) [<ones>];',
  '<hundreds> = <small> | <hundred> [[and] <ones>] | (one {add 100} | <hundred> [and]) <tens>',
  '  | one {add 1} {times 10} <digit> {times 10} <digit>;',
];

/**
 * The grammar of the items of a plan as one JSGF file: what each item may be said to be, several in one breath, “next”, “back to …”.
 * It uses the grammar's own numbers and commands, so that it has to be read together with those files.
 */
export function itemsGrammar(places: readonly ItemPlace[]): string {
  const rules = places.map((place) => {
    const rule = placeRule(place.id);
    const said = [
      ...place.items.map((item) => spoken(item)),
      ...(place.groups ?? []).flatMap(({ names, words, items }) => {
        const all = (state: string): string => items.map((id) => `{item ${id} ${state}}`).join(' ');
        const bad = GENERAL_BAD.filter((each) => !words.includes(each));
        return [
          `(${choice(names)} [<be>] (${choice(words)})) ${all('good')}`,
          `(${choice(names)} ([<be>] (${choice(bad)}) | ${choice(contracted(bad))})) ${all('defective')}`,
        ];
      }),
    ];
    return [
      `<said-at-${place.id}> = ${said.join('\n  | ')};`,
      `/** @example ${exampleOf(place)} */`,
      `public <${rule}> = <said-at-${place.id}> ([and] <said-at-${place.id}>)* [<move>] | <move>`,
      `  | (correction | scratch that) {command correction} <said-at-${place.id}> | <commands>;`,
    ].join('\n');
  });
  const back = places.map(({ id, names }) => `back to [the] (${choice(names)}) {move ${id}}`);
  const all = places.map(({ id }) => `<said-at-${id}>`).join(' | ');
  return `${[
    '#JSGF V1.0 UTF-8 en;',
    'grammar items;',
    'import <numbers.*>;',
    'import <commands.*>;',
    '<be> = is | are;',
    ...HUNDREDS,
    `<move> = (next | next place | go on to the next) {move next}\n  | ${back.join('\n  | ')};`,
    ...rules,
    `<one> = ${all};`,
    `public <${ITEMS_RULE}> = <one> ([and] <one>)* [<move>] | <move> | (correction | scratch that) {command correction} <one> | <commands>;`,
  ].join('\n')}\n`;
}

function spoken(item: Item): string {
  const { id, names, good, measure, mayLack, single } = item;
  const states = [
    `(${choice([...new Set(['good', ...good])])}) {item ${id} good}`,
    ...waysOf(item).map((way) => `(${choice(way.words)}) {item ${id} ${way.id}}`),
    `(repaired | replaced) {item ${id} repaired}`,
    `(skipped | not checked) {item ${id} skipped}`,
    ...(mayLack === true ? [`not fitted {item ${id} absent}`] : []),
    ...(measure === undefined
      ? []
      : [`[at] ${measure.max > 99 ? '<hundreds>' : '<small>'} (${choice(measure.said)}) {measured ${id}}`]),
  ];
  const short = waysOf(item).flatMap((way) => {
    const words = contracted(way.words);
    return words.length === 0 ? [] : [` | (${choice(words)}) {item ${id} ${way.id}}`];
  });
  const said = `(${choice(names)}) ([<be>] (${states.join(' | ')})${short.join('')})`;
  if (single === undefined) return said;
  const bad = `([<be>] (${choice(GENERAL_BAD)}) | ${choice(contracted(GENERAL_BAD))})`;
  return `${said}\n  | [left | right | one] (${choice(single)}) ${bad} {item ${id} one-defective}`;
}

const CONTRACTIONS = [
  ['not ', ["isn't ", "aren't "]],
  ['does not ', ["doesn't "]],
  ['do not ', ["don't "]],
  ['will not ', ["won't "]],
] as const;

/**
 * Words with “not” as they are mostly spoken, with the verb in them. An ear that has no “aren't” hears “belts aren't tight” as “belts are
 * tight”, and is sure of it.
 */
function contracted(words: readonly string[]): readonly string[] {
  return words.flatMap((each) =>
    CONTRACTIONS.flatMap(([whole, short]) =>
      each.startsWith(whole) ? short.map((start) => `${start}${each.slice(whole.length)}`) : [],
    ),
  );
}

/** What a hint shows: an item that is good and one that is bad, in one breath. */
function exampleOf({ items: [first, second = first] }: ItemPlace): string {
  const bad = second?.bad[0]?.words[0];
  return [
    `${first?.names[0] ?? ''} ${first?.good[0] ?? 'good'}`,
    ...(second === undefined || bad === undefined ? [] : [`${second.names[0] ?? ''} ${bad}`]),
  ].join(', ');
}

function choice(words: readonly string[]): string {
  return words.join(' | ');
}
