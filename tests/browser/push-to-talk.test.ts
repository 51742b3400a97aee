import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { cdp } from 'vitest/browser';
import type { MicrophoneEvents } from '../../src/hearing/microphone-port.ts';
import { microphoneEar } from '../../src/running/microphone-ear.ts';
import type { CheckScreen } from '../../src/ui/check/check-screen.ts';
import { Bench, find, mount, press, settle, until } from './support/parts.ts';

/** Beyond the end of the press by so much, what is said still counts; the ear says so. */
const AFTER_RELEASE = 300;

let bench: Bench;
let microphone: MicrophoneEvents | undefined;
let heard: number[];

/** A check with push-to-talk, over the real ear; its engine only keeps what it is given. */
beforeEach(async () => {
  bench = new Bench();
  heard = [];
  await check();
});
afterEach(() => document.body.replaceChildren());

async function check(settings: { readonly talkKey?: string; readonly keys?: boolean } = {}): Promise<void> {
  document.body.replaceChildren();
  microphone = undefined;
  bench.stored.set('settings', { pushToTalk: true, ...settings });
  const done = (): Promise<void> => Promise.resolve();
  const engine = {
    id: 'vosk',
    name: 'the test ear',
    hearing: () => ({
      ready: Promise.resolve(true),
      listenFor: () => undefined,
      flush: done,
      close: done,
      feed: (samples: Float32Array) => {
        heard.push(samples[0] ?? 0);
        return done();
      },
    }),
  } as const;
  await mount(
    await bench.parts({
      ear: (now) =>
        microphoneEar({
          steady: () => bench.now,
          pushToTalk: () => now().pushToTalk,
          microphone: (events) => {
            microphone = events;
            return { retry: done, stop: () => undefined };
          },
          engines: () => Promise.resolve([engine]),
        }),
    }),
  );
  await press('Start the check');
  (await until(() => microphone, 'the microphone')).state('listening');
  await until(() => find<CheckScreen>('tn-check-screen')?.live.ear === 'waiting', 'the ear');
  await settle();
}

/** Whether what is said now is heard. */
async function isHeard(): Promise<boolean> {
  await settle();
  bench.now += AFTER_RELEASE;
  microphone?.sound(new Float32Array(320).fill(0.5), 16_000, bench.now);
  return heard.at(-1) === 0.5;
}

const pad = (): HTMLButtonElement | undefined => find<HTMLButtonElement>('button.talk');

/** The middle of the pad in the window of the browser, in which this page is a frame. */
function middle(): { readonly x: number; readonly y: number } {
  const frame = window.frameElement?.getBoundingClientRect();
  const { left, top, width, height } = pad()!.getBoundingClientRect();
  const scale = frame === undefined ? 1 : frame.width / window.innerWidth;
  return { x: (frame?.x ?? 0) + scale * (left + width / 2), y: (frame?.y ?? 0) + scale * (top + height / 2) };
}

interface Devtools {
  send(command: string, parameters: object): Promise<unknown>;
}
const send = (command: string, parameters: object): Promise<unknown> =>
  (cdp() as unknown as Devtools).send(`Input.dispatch${command}Event`, parameters);
const mouse = (type: string, at = middle()): Promise<unknown> =>
  send('Mouse', { type, ...at, button: 'left', buttons: type === 'mouseReleased' ? 0 : 1, clickCount: 1 });
const touch = (type: string): Promise<unknown> =>
  send('Touch', { type, touchPoints: type === 'touchStart' ? [middle()] : [] });
const key = (type: 'rawKeyDown' | 'keyUp', code: string): Promise<unknown> =>
  send('Key', { type, code, key: code === 'Space' ? ' ' : code, windowsVirtualKeyCode: VIRTUAL[code] });
const VIRTUAL: Readonly<Record<string, number>> = { Space: 32, F13: 124, o: 79 };

const awaySeen = (): void => void window.dispatchEvent(new Event('blur'));
const hidden = (): void => void document.dispatchEvent(new Event('visibilitychange'));

describe('push-to-talk: the microphone counts while', () => {
  it.each([
    ['the pad is held by a mouse', () => mouse('mousePressed'), () => mouse('mouseReleased')],
    ['the pad is held by a finger', () => touch('touchStart'), () => touch('touchEnd')],
    ['the space bar is held', () => key('rawKeyDown', 'Space'), () => key('keyUp', 'Space')],
    [
      'the pad is held, though the mouse leaves it',
      () => mouse('mousePressed'),
      () => mouse('mouseReleased', { x: 2, y: 2 }),
    ],
    ['the system takes no finger away', () => touch('touchStart'), () => touch('touchCancel')],
    ['the window keeps the focus (pad)', () => mouse('mousePressed'), awaySeen],
    ['the page is seen (pad)', () => touch('touchStart'), hidden],
    ['the window keeps the focus (key)', () => key('rawKeyDown', 'Space'), awaySeen],
    [
      'the microphone is there',
      () => mouse('mousePressed'),
      () => {
        microphone?.state('waiting');
        return until(() => pad() === undefined, 'the pad to go').then(() => microphone?.state('listening'));
      },
    ],
  ] as const)('%s', async (_, down, up) => {
    expect(await isHeard()).toBe(false);
    await down();
    expect(await isHeard()).toBe(true);
    await up();
    expect(await isHeard()).toBe(false);
    // Nothing stays held in the browser for the next test.
    await mouse('mouseReleased', { x: 2, y: 2 });
    await touch('touchCancel').catch(() => undefined);
    await key('keyUp', 'Space');
  });

  it('either of two holds lasts', async () => {
    await mouse('mousePressed');
    await key('rawKeyDown', 'Space');
    await key('keyUp', 'Space');
    expect(await isHeard()).toBe(true);
    await mouse('mouseReleased');
    expect(await isHeard()).toBe(false);
  });

  it('the key is held that a foot switch types, once it was chosen, with single-key shortcuts switched off', async () => {
    await key('rawKeyDown', 'F13');
    expect(await isHeard()).toBe(false);
    await key('keyUp', 'F13');
    await press('More');
    const field = await until(() => find<HTMLInputElement>('input[name=talkKey]'), 'the field of the key');
    field.focus();
    await key('rawKeyDown', 'F13');
    await key('keyUp', 'F13');
    await settle();
    expect(bench.stored.get('settings')).toMatchObject({ talkKey: 'F13' });
    await press('Close');
    expect(await isHeard()).toBe(false);
    await key('rawKeyDown', 'F13');
    expect(await isHeard()).toBe(true);
    await key('keyUp', 'F13');
    expect(await isHeard()).toBe(false);

    await check({ talkKey: 'F13', keys: false });
    await key('rawKeyDown', 'F13');
    expect(await isHeard()).toBe(true);
    await key('keyUp', 'F13');
  });

  it('or is open from one key to the next, in the middle of a check', async () => {
    expect(await isHeard()).toBe(false);
    await key('rawKeyDown', 'o');
    await key('keyUp', 'o');
    expect(await isHeard()).toBe(true);
    expect(pad()).toBeUndefined();
    await key('rawKeyDown', 'o');
    await key('keyUp', 'o');
    expect(await isHeard()).toBe(false);
    expect(pad()).toBeDefined();
  });
});
