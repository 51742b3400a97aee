import type { Answer, ItemWords } from '../check/answer.ts';
import { openDefectLine } from '../items/open-defect.ts';
import { cardinal } from './wording-numbers.ts';
import { titleWords, type Fragment } from './wording-phrases.ts';

type ItemAnswer = Extract<
  Answer,
  { readonly type: 'item-bad' | 'item-sticks' | 'items-again' | 'item-impossible' | 'passed-over' | 'open-defects' }
>;

/** More than so many are counted, not listed: nobody keeps a longer list in mind. Ours, no source. */
const MOST_LISTED = 4;

/** Answers about the items of a walk, which are said in full at every level: what is bad, what was not understood, what was passed over. */
export function wordItems(answer: ItemAnswer): string[] {
  switch (answer.type) {
    case 'item-bad':
      return [...itemList([answer.item]), '.', answer.class === 'out-of-service' ? 'out of service' : 'report it', '.'];
    case 'item-sticks':
      return [...itemList([answer.item]), ...fixed('was called', '.', 'to take it back say correction', '.')];
    case 'items-again':
      return [...fixed('say again', ':'), ...titles(answer.said.map(({ title }) => title)), '.'];
    case 'item-impossible':
      return [
        titleWords(answer.title),
        ',',
        ...cardinal(answer.value),
        ...fixed(':', 'at most'),
        ...cardinal(answer.max),
        '.',
      ];
    case 'passed-over':
      return [...fixed('passed over', ':'), ...titles(answer.titles), '.'];
    case 'open-defects':
      return [
        ...fixed('open defects', ':'),
        ...titles(answer.defects.map((defect) => openDefectLine(defect, answer.now))),
        '.',
        ...fixed('say repaired or how it is', '.'),
      ];
  }
}

/** "oil level good, belts tight". */
export function itemList(said: readonly ItemWords[]): string[] {
  return said.flatMap(({ title, words }, index) => [...(index === 0 ? [] : [',']), titleWords(title), words]);
}

/** "Three left." Nothing where none is. */
export function leftWords(left: number): Fragment[] {
  return left === 0 ? [] : [...cardinal(left), ...fixed('left', '.')];
}

function titles(list: readonly string[]): string[] {
  if (list.length > MOST_LISTED) return [...cardinal(list.length), ...fixed('items')];
  return list.flatMap((title, index) => [...(index === 0 ? [] : [',']), titleWords(title)]);
}

function fixed(...fragments: readonly Fragment[]): Fragment[] {
  return [...fragments];
}
