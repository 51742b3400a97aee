import { describe, expect, it } from 'vitest';
import { CheckClock } from '../../../src/running/check-clock.ts';
import { SpeechGate } from '../../../src/running/speech-gate.ts';

function clockAt(from = 0) {
  let steady = 5000;
  const clock = new CheckClock(() => steady, from);
  return { clock, pass: (ms: number) => (steady += ms) };
}

describe('the clock of a check', () => {
  it('goes on from where a resumed check was cut off', () => {
    const { clock, pass } = clockAt(42_000);
    pass(500);
    expect(clock.read()).toBe(42_500);
  });

  it('times what is heard by samples, also when the ear reports late, and never goes back', () => {
    const { clock, pass } = clockAt();
    pass(300);
    expect(clock.follow(0)).toBe(300);
    pass(5000);
    expect(clock.follow(1000)).toBe(1300);
    expect(clock.ofEar(1000)).toBe(1300);
    expect(clock.read()).toBe(5300);
  });

  it('is driven by the ear as long as it reports, and by the page when it stops', () => {
    const { clock, pass } = clockAt();
    expect(clock.following).toBe(false);
    clock.follow(0);
    pass(1000);
    expect(clock.following).toBe(true);
    pass(2000);
    expect(clock.following).toBe(false);
    clock.follow(3000);
    expect(clock.following).toBe(true);
  });

  it('is moved on by samples that come faster than the page counts', () => {
    const { clock } = clockAt();
    clock.follow(0);
    clock.follow(60_000);
    expect(clock.read()).toBe(60_000);
  });

  it('goes on without a jump when the ear is lost, and ties a new ear to the present', () => {
    const { clock, pass } = clockAt();
    clock.follow(0);
    pass(1000);
    clock.follow(1000);
    pass(200);
    clock.letGo();
    pass(800);
    expect(clock.read()).toBe(2000);
    expect(clock.follow(160)).toBe(2000);
    expect(clock.ofEar(160)).toBe(2000);
  });

  it('dates a press by when it began', () => {
    const { clock, pass } = clockAt();
    pass(1700);
    expect(clock.ago(700)).toBe(1000);
    expect(clock.ago(9000)).toBe(0);
  });
});

describe('the gate on hearing while the tool speaks', () => {
  it('stops callouts that begin while it speaks or just after', () => {
    const gate = new SpeechGate();
    gate.speaking(true, 1000);
    expect(gate.closedFor(1500, undefined)).toBe(true);
    gate.speaking(false, 2000);
    expect(gate.closedFor(2100, undefined)).toBe(true);
    expect(gate.closedFor(2400, undefined)).toBe(false);
    expect(gate.closedFor(900, undefined)).toBe(false);
  });

  it('lets “stop the check” and “correction” through', () => {
    const gate = new SpeechGate();
    gate.speaking(true, 1000);
    expect(gate.closedFor(1500, 'stop-check')).toBe(false);
    expect(gate.closedFor(1500, 'correction')).toBe(false);
    expect(gate.closedFor(1500, 'yes')).toBe(true);
  });

  it('opens at once for someone who presses to talk', () => {
    const gate = new SpeechGate();
    gate.speaking(true, 1000);
    gate.cut(1400);
    gate.speaking(false, 1450);
    expect(gate.closedFor(1500, undefined)).toBe(false);
  });
});
