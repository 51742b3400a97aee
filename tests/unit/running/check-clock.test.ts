import { describe, expect, it } from 'vitest';
import { CheckClock } from '../../../src/running/check-clock.ts';

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

  it('takes an ear’s word for when its sound was taken, also for what it works through later', () => {
    const { clock, pass } = clockAt();
    // The recogniser loads for 3 s, while the sound of the second after the start waits for it.
    clock.tie(0, 6000);
    pass(4000);
    expect(clock.follow(100)).toBe(1100);
    expect(clock.ofEar(2000)).toBe(3000);
    // What waited is worked through at once: that does not make it later.
    expect(clock.follow(3000)).toBe(4000);
    expect(clock.read()).toBe(4000);
  });

  it('keeps the times of sound from before a gap when it is worked through after it', () => {
    const { clock, pass } = clockAt();
    clock.tie(0, 5000);
    pass(10_000);
    // Sound was lost from 2 s on the ear to 8 s of the check.
    clock.tie(2000, 13_000);
    expect(clock.ofEar(1500)).toBe(1500);
    expect(clock.ofEar(2500)).toBe(8500);
    clock.letGo();
    expect(clock.following).toBe(false);
    expect(clock.ofEar(2500)).toBe(8500);
  });

  it('dates a press by when it began', () => {
    const { clock, pass } = clockAt();
    pass(1700);
    expect(clock.ago(700)).toBe(1000);
    expect(clock.ago(9000)).toBe(0);
  });
});
