import { describe, expect, it } from 'vitest';
import { placesOf } from '../../../src/check/places.ts';
import { examinedOf } from '../../../src/examining/examined-of.ts';
import { AIR_BRAKE_EXAM } from '../../../src/examining/rules.ts';
import { sheetOf } from '../../../src/examining/sheet.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { beginRun, endRun, passTime, take } from '../../../src/running/check-run.ts';
import { languageOf, type Language } from '../../../src/running/language.ts';
import { grammar, planOf } from '../items/walk.ts';

// How people speak of what is wrong, beside the words that the tool asks for: everyday speech, common practice, no source.

const spoken = languageOf(grammar);
const languages = new Map<string, Language>();

/** A transcript of a plan; “helper: …” is another voice, and a number before the words is the silence before them in seconds. */
function hear(planId: string, lines: readonly string[]) {
  const plan = planOf(planId);
  const language = languages.get(planId) ?? spoken.of(plan);
  languages.set(planId, language);
  let run = beginRun({
    ...{ type: 'start', at: 0, wall: '2026-05-06T07:00:00.000Z', operator: 'A. Okafor', asking: 'assume' },
    ...{ plan, profile: BUILT_IN_PROFILES[0]!, rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' } },
  });
  let at = 0;
  for (const line of lines) {
    const [, seconds = '2', voice, text = ''] = /^(?:(\d+) )?(?:(helper): )?(.*)$/.exec(line) ?? [];
    at += Number(seconds) * 1000;
    const said = { start: at, end: at + 1500, text, confidence: 1, source: 'transcript' as const };
    run = take(passTime(run, at), voice === undefined ? said : { ...said, voice }, language);
    at += 1500;
  }
  return endRun(run, at + 5000).state;
}

/** The engine compartment, all good but for what is said of the belts, and what is said after the end. */
function walk(belts: readonly string[], after: readonly string[] = []) {
  const items = placesOf(planOf('engine-compartment')).flatMap((place) => place.items);
  const lines = items.flatMap((item) => (item.id === 'belts' ? belts : [`${item.names[0]} ${item.good[0]}`]));
  const state = hear('engine-compartment', [...lines, ...after]);
  const [record] = state.records;
  return {
    verdict: state.verdict,
    belts: record?.result.items?.find(({ id }) => id === 'belts'),
    flags: record?.result.flags?.join() ?? '',
  };
}

describe('a defect in words that are near those of the list', () => {
  it.each([
    'belts a bit frayed',
    'the belt is starting to crack',
    'belts are fraying pretty badly',
    'wait, the belts look really worn',
    'belts slightly loose',
  ])('is that defect: %s', (words) => {
    expect(walk([words]).belts).toMatchObject({ state: 'bad', class: 'report' });
    expect(walk([words, 'belts tight']).belts).toMatchObject({ state: 'bad' });
    expect(walk(['belts tight'], [words])).toMatchObject({ verdict: 'marginal', belts: { state: 'bad' } });
  });

  it.each(['belts not frayed', 'belts almost tight', 'if the belts are frayed', 'belts look fine'])(
    'is not made of what says another thing: %s',
    (words) => {
      expect(walk([words]).belts?.state).toBe('passed over');
    },
  );

  it.each([
    ...['a bit frayed', 'one of them is gone', 'no that was the other truck', 'helper: the belts are cracked'],
    ...['helper: nope', 'helper: I only saw one', 'helper: rear one is out', 'the belt’s glazed over', 'it’s slipping'],
  ])('is no pass where it names nothing of the place, or is said by another: %s', (words) => {
    for (const said of [walk(['belts tight', words]), walk(['belts tight'], [words])]) {
      expect(said.verdict).not.toBe('pass');
      expect(said.flags + (said.belts?.note ?? '')).not.toBe('');
    }
  });

  it('is not made of a helper’s yes, nor of what he calls good', () => {
    const said = walk(['belts tight', 'helper: yep, got both sides', 'helper: coolant full']);
    expect(said).toMatchObject({ verdict: 'pass', flags: '' });
  });

  it('takes a “no” that is cut off for none of “no leaks”', () => {
    const said = (words: string) => hear('engine-compartment', [words]).callouts[0]?.meaning?.items?.[0]?.state;
    expect([said('air lines no leaks'), said('air lines, no leaks')]).toEqual(['good', 'good']);
    expect([said('air lines, no, leaks'), said('air lines: no. Leaks')]).toEqual([undefined, undefined]);
  });
});

const CHECK = [
  ...['chocks set', 'walk round complete', 'mirrors set', 'ignition on', 'both at seventy five', 'engine started'],
  ...['governor cut out', 'both at one twenty four', 'needles rising', 'both at ninety eight'],
  ...[
    'compressor cut out',
    'both at one twenty four',
    'engine off',
    'brakes released',
    'settled',
    'both at one twenty',
  ],
  ...['61 both at one twenty', 'brake applied', 'settled', 'both at one ten', '61 both at one ten'],
  ...['buzzer', 'both at sixty five', 'valve popped', 'both at thirty eight', 'engine started', 'fast idle set'],
  ...[
    'both at eighty five',
    '31 both at one hundred',
    'governor has cut out',
    'both at one twenty four',
    'fast idle off',
  ],
  ...['chocks stowed', 'belts on', 'in drive', 'rig held', 'straight stop', 'check complete'],
];

/** The whole check with something said right after a line. */
function brakes(line: string, words: string) {
  const at = CHECK.indexOf(line);
  expect(at).toBeGreaterThan(-1);
  return hear('full-cab-check', [...CHECK.slice(0, at + 1), words, ...CHECK.slice(at + 1)]);
}

describe('a callout that is denied', () => {
  it('is not needed by a check in order', () => {
    expect(hear('full-cab-check', CHECK).verdict).toBe('pass');
  });

  it.each([
    ['chocks set', 'no the chocks aren’t set'],
    ['mirrors set', 'mirrors aren’t adjusted'],
    ['governor cut out', 'governor hasn’t cut out'],
    ['needles rising', 'needles aren’t moving'],
    ['needles rising', 'it won’t build'],
    ['engine off', 'engine isn’t off'],
    ['brakes released', 'brakes aren’t released'],
    ['settled', 'needles haven’t settled'],
    ['brake applied', 'foot is not on the brake'],
    ['buzzer', 'buzzer hasn’t sounded'],
    ['buzzer', 'warning never came on'],
    ['valve popped', 'knob won’t pop'],
    ['fast idle set', 'fast idle isn’t set'],
    ['chocks stowed', 'chocks aren’t stowed'],
    ['belts on', 'belts aren’t on'],
    ['rig held', 'rig isn’t holding'],
    ['rig held', 'it never held'],
    ['straight stop', 'didn’t stop straight'],
  ])('is never taken for the good one, and takes it back: %s, %s', (line, words) => {
    expect(brakes(line, words).verdict).not.toBe('pass');
  });

  it.each([
    ['buzzer', 'no that was the radio'],
    ['buzzer', 'wrong truck'],
    ['buzzer', 'no I think it came from next door'],
    ['both at ninety eight', 'actually primary was sixty'],
    ['rig held', 'helper: it moved'],
    ['rig held', 'helper: front end came up'],
    ['rig held', 'rig crept'],
    ['settled', 'secondary’s lagging'],
    ['check complete', 'wait, it pulled a little to the left'],
    ['check complete', 'the brakes are leaking'],
  ])('takes no pass back unseen in words of its own: %s, %s', (line, words) => {
    expect(brakes(line, words).verdict).not.toBe('pass');
  });

  it('is told of where nothing was called yet, and costs nothing then', () => {
    const state = brakes('both at seventy five', 'engine hasn’t started');
    expect(state.verdict).toBe('pass');
    expect(state.records.flatMap(({ result }) => result.flags ?? [])).toEqual(['“engine hasn’t started” was called']);
  });

  it('is told of in a step that is then left unfinished', () => {
    const held = CHECK.slice(0, CHECK.indexOf('rig held') + 1);
    const { records } = hear('full-cab-check', [...held, 'wheels turned, it slid']);
    expect(records.at(-1)?.result).toMatchObject({
      verdict: 'not judged',
      flags: ['“wheels turned, it slid” was said and not understood'],
    });
  });

  it('is not done on the examiner’s sheet', () => {
    const part = (line: string, words: string) =>
      sheetOf(examinedOf(brakes(line, words)), AIR_BRAKE_EXAM).parts.find(({ state }) => state !== 'done');
    expect(part('chocks set', 'no the chocks aren’t set')).toMatchObject({ id: 'chocks', state: 'said' });
    expect(part('chocks set', 'no, they are not in yet')).toMatchObject({
      ...{ id: 'chocks', state: 'said', why: '“no, they are not in yet” was said after it' },
    });
    expect(part('brake applied', 'no I let it up')).toMatchObject({ id: 'brake-applied', state: 'said' });
    expect(part('governor cut out', 'it never did go out')).toMatchObject({ id: 'cut-out', state: 'said' });
    expect(part('chocks set', 'strike that')).toMatchObject({ id: 'chocks', state: 'said' });
    expect(part('chocks set', 'walk round done')).toBeUndefined();
  });
});
