import { describe, expect, it } from 'vitest';
import { SilentMicrophone } from '../../../src/running/silent-microphone.ts';

const QUIET = { speaks: false, heard: false };
const SPEAKS = { speaks: true, heard: true };

/** What is told of so many seconds at a level, dB, after what was before. */
function told(watch: SilentMicrophone, from: number, seconds: number, level: number, tool = QUIET): string | undefined {
  let line: string | undefined;
  for (let at = from; at <= from + seconds; at += 0.1) line = watch.next(level, at * 1000, tool);
  return line;
}

describe('a microphone', () => {
  it('that gives no sound at all for 20 s is told of, and no longer when it does', () => {
    const watch = new SilentMicrophone();
    expect(told(watch, 0, 19, -100)).toBeUndefined();
    expect(told(watch, 19.1, 2, -100)).toMatch(/nothing but silence/);
    expect(told(watch, 22, 1, -60)).toBeUndefined();
  });

  it('that hears the tool, and else nothing, is told of as that', () => {
    const watch = new SilentMicrophone();
    told(watch, 0, 8, -100);
    expect(told(watch, 8.1, 2, -40, SPEAKS)).toBeUndefined();
    expect(told(watch, 10.2, 12, -100)).toMatch(/hears the tool and nothing else/);
  });

  it('of a quiet parked cab is none of these', () => {
    const watch = new SilentMicrophone();
    told(watch, 0, 5, -78);
    told(watch, 5.1, 3, -40, SPEAKS);
    expect(told(watch, 8.2, 60, -78)).toBeUndefined();
  });
});
