import { expect, describe, it } from 'vitest';
import { needles, startOf, Walk, type Said } from './support/say.ts';

/** What is said; a number is a wait, in seconds. */
type Line = Said | number;

/** The verdict and the flags of a step of a recorded check in which this is said. */
function told(id: string, ...lines: readonly Line[]): string {
  const walk = new Walk(startOf({ asking: 'assume' }));
  let wait = 2;
  for (const line of lines) {
    if (typeof line === 'number') wait = line;
    else {
      walk.say(line, { at: walk.time + wait });
      wait = 2;
    }
  }
  walk.send({ type: 'end', at: 9_000_000 });
  const result = walk.state.records.find((each) => each.id === id)?.result;
  return [result?.verdict, ...(result?.flags ?? [])].join(': ');
}

const APPROACH = ['chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'];
const OUT: readonly Line[] = [...APPROACH, needles(75, 75), 'engine-started', 'cut-out', needles(124, 124)];
const REFILLED: readonly Line[] = [...OUT, 'cut-in', needles(98, 98), 'cut-out', needles(124, 124)];
const STATIC = ['engine-off', 'brakes-released', 'settled', needles(118, 118), 61, needles(118, 118)];
const HELD: readonly Line[] = [
  ...REFILLED,
  ...STATIC,
  'brake-applied',
  'settled',
  needles(110, 110),
  61,
  needles(110, 110),
];
const LOW: readonly Line[] = [...HELD, 20, 'buzzer', needles(66, 66), 15, 'valve-popped', needles(38, 38)];
const BUILT: readonly Line[] = [...LOW, 'engine-started', 'fast-idle-set', needles(85, 85), 25, needles(100, 100)];
const READY: readonly Line[] = [...BUILT, 'cut-out', needles(124, 124), 'fast-idle-off', 'chocks-stowed', 'belts-on'];

// What a second person in the cab would not pass over. Common practice, no source, but where one is named.
describe('what is called and taken by no step makes it marginal at best', () => {
  it.each<[string, string, RegExp, readonly Line[]]>([
    [
      'needles above the cut-out, after it',
      'governor-cut-in',
      /above .* governor cut out/,
      [...OUT, 12, needles(135, 135), 'cut-in', needles(98, 98)],
    ],
    [
      'needles that stood below the cut-in',
      'governor-cut-in',
      /can hardly follow/,
      [...OUT, 12, needles(60, 60), 'cut-in', needles(98, 98)],
    ],
    [
      'needles that rise with the engine off',
      'low-air-warning',
      /higher .* engine off/,
      [...HELD, 9, needles(135, 135), 20, 'buzzer', needles(66, 66)],
    ],
    ['the low-air warning at 124 psi', 'static-leakage', /needles at 124 psi/, [...REFILLED, 'buzzer', ...STATIC]],
    ['a valve that pops at 124 psi', 'static-leakage', /needles at 124 psi/, [...REFILLED, 'valve-popped', ...STATIC]],
    [
      'a governor that cuts out before anybody started the engine',
      'pre-start-fill',
      /no engine/,
      [...APPROACH, 'cut-in', needles(75, 75), 'engine-started'],
    ],
    [
      'a governor that cuts out before the window',
      'build-up',
      /before the window/,
      [...LOW, 'engine-started', 'fast-idle-set', 'cut-out', needles(85, 85), 25, needles(100, 100)],
    ],
    // 49 CFR 571.121 S5.1.5: the warning is on below 60 psi.
    [
      'a stop with 20 psi',
      'service-brake-test',
      /too little air/,
      [...READY, 'in-drive', 'rig-held', needles(20, 20), 'straight-stop', 'check-complete'],
    ],
  ])('%s', (_, id, flag, lines) => {
    const said = told(id, ...lines);
    expect(said).toMatch(/^(marginal|not judged): /);
    expect(said).toMatch(flag);
  });

  it('but not what an honest operator calls besides', () => {
    expect(
      told('governor-cut-in', ...OUT, 12, needles(110, 110), 12, needles(101, 101), 'cut-in', needles(98, 98)),
    ).toBe('pass');
    expect(told('low-air-warning', ...HELD, 9, needles(90, 90), 20, 'buzzer', needles(66, 66))).toBe('pass');
    expect(
      told(
        'service-brake-test',
        ...READY,
        'in-drive',
        'rig-held',
        needles(118, 118),
        'straight-stop',
        'check-complete',
      ),
    ).toBe('pass');
  });

  it('needles of the window above the cut-out are asked about', () => {
    const closed = [...LOW, 'engine-started', 'fast-idle-set', needles(85, 85), 31, needles(150, 100)];
    expect(told('build-up', ...closed)).toMatch(/^not judged: .*can hardly follow/);
  });

  it('needles that follow faster than anything can move them are asked about', () => {
    const hurried = [...APPROACH, needles(75, 75), 0.1, 'engine-started', 0.1, 'cut-out', 0.1, needles(124, 124)];
    expect(told('governor-cut-out', ...hurried)).toMatch(/^not judged: .*can hardly follow/);
    expect(told('governor-cut-in', ...OUT, 0.1, 'cut-in', 0, needles(90, 90))).toMatch(
      /^not judged: .*can hardly follow/,
    );
  });

  it('the first needles of a hold that were taken back do not stand when nobody calls others', () => {
    const held = [...REFILLED, 'engine-off', 'brakes-released', 'settled', needles(118, 118)];
    const ending = [61, needles(118, 118)];
    expect(told('static-leakage', ...held, ...ending)).toBe('pass');
    expect(told('static-leakage', ...held, 29, 'correction', 31, needles(118, 118))).toMatch(
      /^not judged: .*“correction” was called, and no other needles/,
    );
  });

  it('needles far below the last ones, while the engine fills the tanks', () => {
    const filling = [...OUT, 'cut-in', needles(98, 98), 9, needles(60, 60), 20, 'cut-out', needles(124, 124)];
    expect(told('refill', ...filling)).toMatch(/^marginal: .*engine running/);
  });

  it('a first needle that would have failed, and a window that was broken off', () => {
    const fill = [...APPROACH, needles(60, 60), 9, needles(75, 75), 'engine-started'];
    expect(told('pre-start-fill', ...fill)).toMatch(/^pass: Failed before/);
    const window = [...LOW, 'engine-started', 'fast-idle-set', needles(85, 85), 50, 'pause', 'resume'];
    expect(told('build-up', ...window, needles(85, 85), 25, needles(100, 100))).toMatch(
      /^pass: A window was paused 5\d s/,
    );
  });
});
