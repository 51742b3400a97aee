import { describe, expect, it } from 'vitest';
import type { CalloutEvent } from '../../../src/check/event.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { calloutOf } from '../../../src/running/callout-of.ts';
import { doubted } from '../../../src/running/doubted.ts';
import { languageOf } from '../../../src/running/language.ts';
import { only, startOf, Walk } from '../check/support/say.ts';

const LANGUAGE = languageOf(loadGrammar());
const { state } = new Walk(startOf({ plan: only('tug-test') })).sayAll('chocks-stowed', 'belts-on', 'in-drive');

function heard(text: string): CalloutEvent {
  return calloutOf(
    { start: 0, end: 1000, text, confidence: 0.9, engine: 'vosk', source: 'voice' },
    [],
    'psi',
    LANGUAGE,
  );
}

describe('words of which nobody knows whether the tool said them', () => {
  it('take nothing back that went wrong: the tool itself says how that is said', () => {
    for (const text of ['correction rig held', 'scratch that rig held', 'rig held', 'yes'])
      expect(doubted(heard(text), state), text).toBeUndefined();
  });

  it('count where they only make it stricter, or ask', () => {
    for (const text of ['rig moved', 'correction', 'say again', 'stop the check'])
      expect(doubted(heard(text), state), text).toEqual(heard(text));
  });

  it('bring nothing else with what speaks against a measurement', () => {
    const leaking = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off').state;
    for (const text of ['parking brake set brakes released settled', 'parking brake set both at one eighteen'])
      expect(doubted(heard(text), leaking)?.meaning, text).toEqual({ cues: ['parking-brake-set'] });
  });

  it('with needles are asked about, corrected ones as well', () => {
    for (const text of ['primary one one six', 'correction secondary one one six'])
      expect(doubted(heard(text), state), text).toEqual({ ...heard(text), agreed: false });
    expect(doubted(heard('chocks stowed primary one one six'), state)).toBeUndefined();
  });
});
