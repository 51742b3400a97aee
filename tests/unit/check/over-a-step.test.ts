import { describe, expect, it } from 'vitest';
import { nextDeadline } from '../../../src/check/deadline.ts';
import { view } from '../../../src/check/view.ts';
import { needles, only, primary, startOf, Walk, type Said } from './support/say.ts';

/** A static hold that runs from 20 s to 80 s. */
function holding(asking: 'ask' | 'assume' = 'ask'): Walk {
  const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage'), asking }));
  return walk.sayAll('engine-off', 'brakes-released', 'settled').say(needles(120, 120), { at: 18, lasting: 2 });
}

const filling = (asking: 'ask' | 'assume' = 'ask'): Walk =>
  new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out'), asking }));

describe('while the check is paused', () => {
  it('needles, answers and commands of a step are not taken, and no time is called', () => {
    const walk = holding().say('pause');
    for (const said of [needles(120, 120), 'yes', 'no', 'how-long', 'correction', 'go-back', 'skip', 'pause', 'note'])
      expect(walk.say(said).last).toEqual([]);
    expect(walk.state).toMatchObject({ phase: 'paused', records: [], progress: { readings: [] } });
    expect(nextDeadline(walk.state)).toBeUndefined();
  });

  it('a press is told so; talk, which may be anybody’s, is not', () => {
    for (const said of [needles(120, 120), 'how-long', 'correction', 'go-back', 'skip', 'note'])
      expect(holding().say('pause').say(said, { source: 'touch' }).types).toEqual(['paused']);
    // What is done to the rig is heeded, and is answer enough.
    const walk = holding().say('pause').say('engine-started', { source: 'touch' });
    expect(view(walk.say('resume').state).needed).toEqual(['engine-off', 'settled']);
  });

  it('it says again that it is, and may be stopped', () => {
    const walk = holding().say('pause').say('say-again');
    expect(walk.types).toEqual(['paused']);
    expect(walk.say('stop-check').types).toEqual(['ask-stop']);
    expect(walk.say('yes').state.phase).toBe('done');
  });

  it('a hold is begun again, and passes without a mark', () => {
    const walk = holding().sayAll('pause', 'resume').say(needles(120, 120), { at: 40, lasting: 0 });
    walk.waitTo(100).say(needles(119, 119), { at: 101 });
    expect(walk.state.records[0]?.result).toMatchObject({ verdict: 'pass' });
    expect(walk.state.records[0]?.result).not.toHaveProperty('flags');
  });

  it('what is done to the rig is heard, and has to be undone in so many words', () => {
    const walk = holding().sayAll('pause', 'engine-started', 'resume');
    expect(view(walk.state).needed).toEqual(['engine-off', 'settled']);
  });

  it('a short pause leaves the cab known, one of more than two minutes does not', () => {
    const neededAfter = (seconds: number): readonly string[] => {
      const walk = holding().say('pause', { at: 30, lasting: 0 });
      return view(walk.say('resume', { at: 30 + seconds, lasting: 0 }).state).needed;
    };
    expect(neededAfter(120)).toEqual([]);
    expect(neededAfter(120.001)).toEqual(['engine-off', 'brakes-released', 'settled']);
  });

  it('and then not stopped after all, what was known before a long pause is known no more', () => {
    for (const said of ['no', 'how-long']) {
      const walk = holding().say('pause', { at: 30 }).say('stop-check', { at: 400 }).say(said);
      expect(view(walk.state).needed).toEqual(['engine-off', 'brakes-released', 'settled']);
    }
  });

  it('a page that comes back says so, and stays paused', () => {
    const walk = holding().say('pause');
    walk.send({ type: 'resumed', at: 40_000, wall: '2026-05-04T07:30:40Z' });
    expect(walk.types).toEqual(['paused']);
    expect(walk.state.phase).toBe('paused');
  });

  it('a recording that ends leaves the rest unfinished', () => {
    const walk = holding().say('pause').send({ type: 'end', at: 60_000 });
    expect(walk.state).toMatchObject({ phase: 'done', verdict: 'incomplete' });
  });
});

describe('while a note is waited for', () => {
  it('a cue that is pressed is a cue; one that is said is a note', () => {
    const pressed = filling().sayAll(needles(75, 74), 'note').say('engine-started', { source: 'touch' });
    expect(pressed.step).toBe('governor-cut-out');
    const said = filling().sayAll(needles(75, 74), 'note').say('engine-started');
    expect(said.step).toBe('pre-start-fill');
    expect(said.state.callouts.at(-1)).toMatchObject({ note: true });
  });

  it('a command that is pressed is followed', () => {
    expect(filling().say('note').say('pause', { source: 'key' }).state.phase).toBe('paused');
    expect(filling().say('note').say('stop-check', { source: 'touch' }).types).toEqual(['ask-stop']);
  });

  it('one that is typed is kept, however long it takes, and may be left', () => {
    const typed = filling().say('note').murmur('left rear hose chafed', { at: 90, source: 'key' });
    expect(typed.state.callouts.at(-1)).toMatchObject({ heard: 'left rear hose chafed', note: true });
    expect(typed.state.phase).toBe('listening');
    const left = filling().say('note').say('no', { source: 'touch' });
    expect([left.state.phase, left.types]).toEqual(['listening', ['going-on']]);
  });
});

describe('resume, how long and correction where they have no use', () => {
  it.each(['resume', 'how-long', 'correction', 'no'] as const)('%s is declined by its name', (command) => {
    expect(filling().say(command).last).toEqual([{ type: 'not-here', command }]);
  });
});

describe('how long is left', () => {
  it('is rounded up, and when nothing is left the needles are called for', () => {
    const asked = (at: number): Walk => holding().say('how-long', { at, lasting: 0 });
    expect(asked(79.5).last).toEqual([{ type: 'time-left', seconds: 1, asked: true }]);
    expect(asked(80).last).toEqual([{ type: 'call-needles', again: true }]);
  });
});

describe('while the check asks why a step is skipped', () => {
  const skipping = (asking: 'ask' | 'assume' = 'ask'): Walk => filling(asking).say('skip');

  it.each<[string, Said]>([
    ['skip', 'skip'],
    ['say again', 'say-again'],
  ])('it asks once more on “%s”', (_, said) => {
    expect(skipping().say(said).types).toEqual(['ask-skip-reason']);
  });

  it('it asks once more when the words mean nothing, and takes them for the reason when they were typed', () => {
    expect(skipping().murmur('lovely weather').types).toEqual(['ask-skip-reason']);
    expect(skipping().murmur('  ', { source: 'touch' }).types).toEqual(['ask-skip-reason']);
    const typed = skipping().murmur(' the gauge-glass is broken', { source: 'touch' });
    expect(typed.state.records[0]).toMatchObject({
      outcome: 'skipped',
      result: { reason: 'skipped, the gauge glass is broken' },
    });
  });

  it('“how long” leaves the question, and a lost microphone ends it without a skip', () => {
    expect(skipping().say('how-long').state.phase).toBe('skipping');
    const lost = skipping().send({ type: 'interrupted', at: 9000, why: 'microphone-lost' });
    expect(lost.state).toMatchObject({ phase: 'listening', index: 0, records: [] });
  });

  it('going on with the step leaves it unskipped in a live check, and skipped where nobody could be asked', () => {
    expect(skipping().say('engine-started').state.records).toEqual([]);
    const assumed = skipping('assume').say('cut-out');
    expect(assumed.state.records[0]).toMatchObject({
      outcome: 'skipped',
      result: { reason: 'skipped, no reason given' },
    });
    expect(assumed.state.progress.outcome?.cue).toBe('cut-out');
  });

  it('the end of a recording skips it, the end of a live check leaves it unfinished', () => {
    const ended = (asking: 'ask' | 'assume') => skipping(asking).send({ type: 'end', at: 60_000 }).state.records[0];
    expect(ended('assume')?.outcome).toBe('skipped');
    expect(ended('ask')?.outcome).toBe('unfinished');
  });

  it('a reason outside of it is no callout', () => {
    const walk = filling().say({ cues: [], reason: 'weather' });
    expect(walk.last).toEqual([]);
    expect(walk.state.callouts.at(-1)?.taken).toBe(false);
  });
});

describe('while the check asks whether to stop', () => {
  const stopping = (): Walk => holding().say('stop-check');

  it('it asks once more when the words mean nothing or it is told to, and stops when it is told so twice', () => {
    expect(stopping().murmur('uh').types).toEqual(['ask-stop']);
    expect(stopping().say('say-again').types).toEqual(['ask-stop']);
    expect(stopping().say('stop-check').state).toMatchObject({ phase: 'done', stopped: true });
  });

  it('a no is answered, and a question that was broken off is not taken up again', () => {
    expect(stopping().say('no').types).toEqual(['going-on']);
    const lost = stopping().send({ type: 'interrupted', at: 40_000, why: 'microphone-lost' });
    expect(lost.say('yes').state).toMatchObject({ phase: 'listening', stopped: false });
  });

  it('the count of a hold goes on', () => {
    expect(stopping().waitTo(50).types).toEqual(['time-left']);
  });

  it('the end of the recording does not count as a yes', () => {
    expect(stopping().send({ type: 'end', at: 60_000 }).state).toMatchObject({ phase: 'done', stopped: false });
  });
});

describe('a note', () => {
  const noting = (): Walk => filling().say('note', { at: 10, lasting: 0 });

  it('is asked for, begins within 15 s, and keeps words that mean nothing', () => {
    expect(noting().types).toEqual(['ask-note']);
    const taken = noting().murmur('squeak at the left rear', { at: 25 });
    expect(taken.types).toEqual(['note-taken']);
    expect(taken.state.callouts.at(-1)).toMatchObject({ note: true, taken: true });
  });

  it('that was not begun in time is none: words belong to the step again', () => {
    const late = noting().say(needles(75, 74), { at: 25.001 });
    expect(late.state.progress.readings).toMatchObject([needles(75, 74)]);
    expect(late.state.callouts.at(-1)?.note).toBeUndefined();
    const talk = noting().murmur('squeak at the left rear', { at: 25.001 });
    expect(talk.state.callouts.at(-1)?.note).toBeUndefined();
  });

  it('is nothing that is only needles: they would be overheard', () => {
    const walk = noting().say(needles(75, 74), { at: 12 });
    expect(walk.state.progress.readings).toMatchObject([needles(75, 74)]);
    expect(walk.state.callouts.at(-1)?.note).toBeUndefined();
  });

  it('that was broken off is not waited for', () => {
    const lost = noting().send({ type: 'interrupted', at: 12_000, why: 'microphone-lost' });
    expect(lost.say(needles(75, 74)).state.progress.readings).toHaveLength(1);
  });

  it('in which something went wrong is a note and a fail', () => {
    const walk = new Walk(startOf({ plan: only('tug-test', 'service-brake-test') }));
    walk.knowing('engine-started', 'parking-brake-set').sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    walk.sayAll('note', 'rig-moved');
    expect(walk.verdict('tug-test')).toBe('fail');
    expect(walk.state.callouts.at(-1)).toMatchObject({ note: true, taken: true });
    const here = new Walk(startOf({ plan: only('service-brake-test') })).knowing('engine-started');
    here.sayAll('note', 'pulled-left', 'straight-stop', 'check-complete');
    expect(here.verdict('service-brake-test')).toBe('fail');
  });

  it('that speaks against a hold spoils it', () => {
    const walk = holding().sayAll('note', 'engine-started');
    expect(walk.state.progress).toMatchObject({ readings: [], repeatBecause: 'contradicted' });
  });
});

describe('a check that is over', () => {
  const over = (): Walk => filling().sayAll('stop-check', 'yes');

  it('hears nothing more, and no time', () => {
    for (const said of ['say-again', 'go-back', 'note', 'yes', needles(75, 74)]) {
      const walk = over();
      const before = walk.state;
      expect(walk.say(said).last).toEqual([]);
      expect(walk.state).toBe(before);
    }
    const walk = over();
    const before = walk.state;
    for (const event of [
      { type: 'time', at: 90_000 },
      { type: 'end', at: 90_000 },
      { type: 'interrupted', at: 90_000, why: 'slept' },
      { type: 'resumed', at: 90_000, wall: '2026-05-04T07:31:30Z' },
    ] as const)
      walk.send(event);
    expect(walk.state).toBe(before);
    expect(nextDeadline(walk.state)).toBeUndefined();
  });
});

describe('say again', () => {
  it('repeats the last thing that mattered, not a count and not what had no use', () => {
    const walk = holding().waitTo(50);
    expect(walk.types).toEqual(['time-left']);
    walk.say('resume');
    expect(walk.types).toEqual(['not-here']);
    expect(walk.say('say-again').last).toMatchObject([{ type: 'again', answer: { type: 'hold-started' } }]);
  });
});

describe('a single needle', () => {
  it('is asked for its other after 6 s, once', () => {
    const walk = filling().say(primary(75), { at: 5, lasting: 1 });
    expect(nextDeadline(walk.state)).toBe(12_000);
    walk.send({ type: 'time', at: 11_999 });
    expect(walk.last).toEqual([]);
    walk.send({ type: 'time', at: 12_000 });
    expect(walk.last).toEqual([{ type: 'missing-circuit', circuit: 'secondary' }]);
    walk.send({ type: 'time', at: 13_000 });
    expect(walk.last).toEqual([]);
    expect(nextDeadline(walk.state)).toBeUndefined();
  });
});
