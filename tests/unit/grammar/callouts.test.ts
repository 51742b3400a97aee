import { describe, expect, it } from 'vitest';
import type { Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import { parse } from '../../../src/grammar/parse.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();

function reading(
  primary: number | undefined,
  secondary: number | undefined,
  unit: PressureUnit = 'psi',
): SpokenReading {
  return {
    ...(primary === undefined ? {} : { primary: { value: primary, unit } }),
    ...(secondary === undefined ? {} : { secondary: { value: secondary, unit } }),
  };
}

function mean(meaning: Partial<Meaning>): Meaning {
  return { cues: [], ...meaning };
}

describe('readings', () => {
  it.each<[string, number | undefined, number | undefined]>([
    ['primary one two five secondary one two four', 125, 124],
    ['Secondary one eighteen, primary one oh five.', 105, 118],
    ['primary at one twenty and secondary at one hundred and eighteen', 120, 118],
    ['primary is at ninety niner, secondary is ninety eight', 99, 98],
    ['primary needle reads one ten, secondary needle reads one eleven', 110, 111],
    ['both at eighty five', 85, 85],
    ['both one hundred', 100, 100],
    ['both needles at one oh oh', 100, 100],
    ['both needles are at sixty pounds', 60, 60],
    ['primary and secondary at eighty five', 85, 85],
    ['primary sixty two and a half', 62.5, undefined],
    ['secondary one one six', undefined, 116],
    ['PRIMARY 125 PSI, SECONDARY 124 PSI', 125, 124],
    ['primary one two five p s i secondary one two four p.s.i.', 125, 124],
    ['primary 120psi', 120, undefined],
    ['primary one two five p_s_i secondary one two four p_s_i', 125, 124],
    ['primary one-twenty-five, secondary one-twenty-four', 125, 124],
    ['primary: 125; secondary: 120.5', 125, 120.5],
    ['primary one o five', 105, undefined],
    ['primary one hundred pounds per square inch', 100, undefined],
  ])('"%s"', (text, primary, secondary) => {
    expect(parse(grammar, ['readings'], text, 'psi')).toEqual(mean({ reading: reading(primary, secondary) }));
  });

  it.each<[string, number | undefined, number | undefined]>([
    ['primary eight fifty secondary eight forty five', 850, 845],
    ['both at seven hundred kilopascals', 700, 700],
    ['primary 860 kPa, secondary 855 kPa', 860, 855],
    ['secondary six nine zero k p a', undefined, 690],
  ])('in a check read in kPa: "%s"', (text, primary, secondary) => {
    expect(parse(grammar, ['readings'], text, 'kPa')).toEqual(mean({ reading: reading(primary, secondary, 'kPa') }));
  });

  it('keep the unit that is said, for both needles, when it is not that of the check', () => {
    const inKpa = mean({ reading: reading(120, 118, 'kPa') });
    expect(parse(grammar, ['readings'], 'primary 120 secondary 118 kilopascals', 'psi')).toEqual(inKpa);
    expect(parse(grammar, ['readings'], 'primary 120 kilopascals secondary 118', 'psi')).toEqual(inKpa);
    expect(parse(grammar, ['readings'], 'both at one twenty psi', 'kPa')).toEqual(mean({ reading: reading(120, 120) }));
    expect(parse(grammar, ['readings'], 'primary 120 psi secondary 118 kPa', 'psi')).toBeUndefined();
  });

  it('take the unit of the check when none is said', () => {
    expect(parse(grammar, ['readings'], 'both at 85', 'kPa')).toEqual(mean({ reading: reading(85, 85, 'kPa') }));
    expect(parse(grammar, ['readings'], 'both at 850', 'psi')).toBeUndefined();
  });
});

describe('cues', () => {
  it.each<[string, string[]]>([
    ['chocks are set', ['chocks-set']],
    ['wheels chocked', ['chocks-set']],
    ['walk-round complete', ['walk-round-complete']],
    ['Walkaround complete.', ['walk-round-complete']],
    ['mirrors set', ['mirrors-set']],
    ['key on', ['ignition-on']],
    ['engine is running', ['engine-started']],
    ['governor cut-out', ['cut-out']],
    ['cutout', ['cut-out']],
    ['needles are rising', ['cut-in']],
    ['engine shut down', ['engine-off']],
    ['parking brake released', ['brakes-released']],
    ['needles settled', ['settled']],
    ['foot on the brake', ['brake-applied']],
    ['low air buzzer on', ['buzzer']],
    ['warning light', ['buzzer']],
    ['buzzer and warning light', ['buzzer']],
    ['parking valve popped out', ['valve-popped']],
    ['high idle set', ['fast-idle-set']],
    ['fast idle off', ['fast-idle-off']],
    ['chocks stowed', ['chocks-stowed']],
    ['seatbelts on', ['belts-on']],
    ['in drive', ['in-drive']],
    ['rig held', ['rig-held']],
    ['brakes are holding', ['rig-held']],
    ['it moved', ['rig-moved']],
    ['trailer brakes holding', ['hand-valve-held']],
    ['stopped in a straight line', ['straight-stop']],
    ['pulls to the left', ['pulled-left']],
    ['pulled right', ['pulled-right']],
    ['brake check complete', ['check-complete']],
    ['chocks set, walk-round complete, mirrors set', ['chocks-set', 'walk-round-complete', 'mirrors-set']],
    ['chocks stowed and belts on', ['chocks-stowed', 'belts-on']],
  ])('"%s"', (text, cues) => {
    expect(parse(grammar, ['cues'], text, 'psi')).toEqual(mean({ cues }));
  });
});

describe('commands and combined callouts', () => {
  it.each<[string, Partial<Meaning>]>([
    ['affirm', { command: 'yes' }],
    ['That’s right', { command: 'yes' }],
    ['negative', { command: 'no' }],
    ['Say again?', { command: 'say-again' }],
    ['how long left', { command: 'how-long' }],
    ['correction', { command: 'correction' }],
    ['correction, secondary one one six', { command: 'correction', reading: reading(undefined, 116) }],
    ['negative, primary one one five', { command: 'correction', reading: reading(115, undefined) }],
    ['make that both at one twenty', { command: 'correction', reading: reading(120, 120) }],
    ['go back', { command: 'go-back' }],
    ['skip this step', { command: 'skip' }],
    ['skip, not fitted', { command: 'skip', reason: 'not-fitted' }],
    ['skip the step, out of service', { command: 'skip', reason: 'out-of-service' }],
    ['not enough room', { reason: 'no-room' }],
    ['no time', { reason: 'no-time' }],
    ['because of the weather', { reason: 'weather' }],
    ['another reason', { reason: 'other' }],
    ['pause the check', { command: 'pause' }],
    ['resume', { command: 'resume' }],
    ['take a note', { command: 'note' }],
    ['stop the check', { command: 'stop-check' }],
    ['cut out, primary one two five, secondary one two four', { cues: ['cut-out'], reading: reading(125, 124) }],
    [
      'engine off, brakes released, settled, primary 118, secondary 117',
      { cues: ['engine-off', 'brakes-released', 'settled'], reading: reading(118, 117) },
    ],
    ['both at one twenty five, fast idle off', { cues: ['fast-idle-off'], reading: reading(125, 125), before: 0 }],
    [
      'engine off, both at one twenty, brakes released',
      { cues: ['engine-off', 'brakes-released'], reading: reading(120, 120), before: 1 },
    ],
  ])('"%s"', (text, meaning) => {
    expect(parse(grammar, ['anything'], text, 'psi')).toEqual(mean(meaning));
  });

  it.each([
    '',
    '   ',
    '...',
    'primary two hundred',
    'primary one two five secondary',
    'primary',
    'one two five',
    'primary one two five primary one two four',
    'primary minus five',
    'primary [unk] secondary one two four',
    'Engine 31 on scene, two storey, nothing showing',
    'tender thirty four is en route',
    'can you hand me the clipboard',
    'the primary is fine',
    'engine',
    'brakes',
    'is that right',
    'incorrect',
    'correct that',
    'no no no',
    'p s i',
    '125',
    '\u0000',
    'constructor',
    '__proto__',
  ])('"%s" means nothing', (text) => {
    expect(parse(grammar, ['anything'], text, 'psi')).toBeUndefined();
  });
});

describe('a step', () => {
  const step = ['hold', 'engine-off', 'settled'];

  it.each([
    'settled',
    'engine off, both at one twenty',
    'secondary one eighteen',
    'stop the check',
    'correction, primary one oh five',
  ])('hears "%s"', (text) => {
    expect(parse(grammar, step, text, 'psi')).toBeDefined();
  });

  it('is deaf to cues that are not its own', () => {
    expect(parse(grammar, step, 'chocks set', 'psi')).toBeUndefined();
    expect(parse(grammar, step, 'chocks set, both at one twenty', 'psi')).toBeUndefined();
  });

  it('without cues of its own hears no cue', () => {
    expect(parse(grammar, ['reading'], 'settled', 'psi')).toBeUndefined();
    expect(parse(grammar, ['reading'], 'both at one twenty', 'psi')).toEqual(mean({ reading: reading(120, 120) }));
  });

  it('that only confirms takes no reading but a corrected one', () => {
    expect(parse(grammar, ['confirm', 'chocks-set'], 'both at one twenty', 'psi')).toBeUndefined();
    expect(parse(grammar, ['confirm', 'chocks-set'], 'correction, both at one twenty', 'psi')).toEqual(
      mean({ command: 'correction', reading: reading(120, 120) }),
    );
  });
});
