import { describe, expect, it } from 'vitest';
import { reduceDictionary } from '../../../src/cli/assets/assets-model.ts';
import type { ItemPlace } from '../../../src/items/item.ts';
import { unheardLine, unheardWords } from '../../../src/items/unheard-words.ts';
import { problemLine } from '../../../src/units/outcome.ts';

const WINCH: ItemPlace = {
  ...{ id: 'front', title: 'Front', names: ['front'], sources: { own: { document: 'own', sure: 'practice' } } },
  items: [
    {
      ...{ id: 'winch', title: 'Winch', names: ['gromblefitz winch'], look: 'Cable laid.', good: ['laid'] },
      bad: [{ id: 'frayed', words: ['frayed'], class: 'report', source: 'own' }],
    },
  ],
};

describe('words of a department’s items that no ear has', () => {
  it('are named, each once, also where the dictionary has other ways and carriage returns', () => {
    const dictionary = 'front F R AH N T\r\nwinch W IH N CH\nlaid(2) L EY D\n';
    expect(unheardWords([WINCH, WINCH], dictionary)).toEqual(['frayed', 'gromblefitz']);
    expect(unheardLine('Own walk', ['gromblefitz'])).toMatch(/^Own walk: .*“gromblefitz”.*goes by touch/);
    expect(unheardLine('Own walk', [])).toBe('');
  });

  it('stop the build of the dictionary with their names, where the built-in plans have them', () => {
    const built = reduceDictionary('winch W IH N CH\n', { words: ['winch', 'gromblefitz'], pronunciations: {} });
    expect(built.ok ? '' : problemLine(built.problem)).toMatch(/no pronunciation for: gromblefitz\./);
  });
});
