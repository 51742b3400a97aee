import { describe, expect, it } from 'vitest';
import { parse } from '../../../src/grammar/parse.ts';
import { sampleMeaning, samples } from '../../../src/grammar/samples.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import type { CalloutEvent } from '../../../src/check/event.ts';
import type { Meaning } from '../../../src/grammar/meaning.ts';
import { HANDS_RULE, handsAt, takeApart } from '../../../src/rehearsal/hands.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();
const spoken = [...samples(grammar, { rules: [HANDS_RULE], unit: 'psi' }, 1)];

function said(meaning: Meaning): CalloutEvent {
  return { type: 'callout', at: 0, end: 900, heard: 'x', confidence: 1, source: 'voice', meaning };
}

describe('the words that move the controls', () => {
  it('are each understood as one movement, never as a callout of the check', () => {
    for (const { text } of spoken) {
      const meaning = parse(grammar, ['anything', HANDS_RULE], text, 'psi');
      expect(meaning?.cues, text).toHaveLength(1);
      expect(cueIds(grammar)).not.toContain(meaning?.cues[0]);
      expect(parse(grammar, ['anything'], text, 'psi'), text).toBeUndefined();
    }
  });

  it('move something, and nothing of them is left for the check', () => {
    for (const sample of spoken) {
      const { callout, movements } = takeApart(said(sampleMeaning(sample)), false);
      expect(callout, sample.text).toBeUndefined();
      expect(movements, sample.text).toHaveLength(1);
    }
  });

  it('are cues of the check too, where words may move the controls, and then still go to the check', () => {
    const off = said({ cues: ['engine-off'] });
    expect(takeApart(off, true)).toEqual({ callout: off, movements: [{ set: { engine: false } }] });
    expect(takeApart(off, false)).toEqual({ callout: off, movements: [] });
  });

  it('are left out of a callout that has more to say', () => {
    const both = said({ cues: ['pumping'], reading: { primary: { value: 90, unit: 'psi' } } });
    expect(takeApart(both, true).callout?.meaning).toEqual({ cues: [], reading: both.meaning?.reading });
  });
});

describe('the hands', () => {
  it('fan the pedal 3 s down and 4 s up until something else is done with it (common practice, no source)', () => {
    const moves = [{ at: 1000, fan: true }];
    const pedal = (at: number): number => handsAt(moves, at).controls.pedalPsi;
    expect([999, 1000, 3999, 4000, 7999, 8000, 10_999, 11_000].map(pedal)).toEqual([0, 150, 150, 0, 0, 150, 150, 0]);
    expect(handsAt([...moves, { at: 9000, fan: false }], 9500).controls.pedalPsi).toBe(0);
    expect(handsAt([...moves, { at: 9000, press: 30 }], 9500)).toMatchObject({
      fanning: false,
      controls: { pedalPsi: 30 },
    });
  });

  it('leave the parking valve after a moment, so that it can pop by itself', () => {
    const moves = [{ at: 500, set: { parking: 'push' } }] as const;
    expect(handsAt(moves, 600)).toMatchObject({ controls: { parking: 'push' }, until: 800 });
    expect(handsAt(moves, 800).controls.parking).toBe('leave');
  });

  it('press at least as hard as is said, and never ease a foot that presses harder', () => {
    expect(handsAt([{ at: 0, press: 30 }], 1).controls.pedalPsi).toBe(30);
    expect(
      handsAt(
        [
          { at: 0, set: { pedalPsi: 55 } },
          { at: 1, press: 30 },
        ],
        2,
      ).controls.pedalPsi,
    ).toBe(55);
  });
});
