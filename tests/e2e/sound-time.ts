import type { Page } from 'playwright-core';
import type { Ms } from '../../src/units/time.ts';

/**
 * Gives every audio context of a page one sample rate, and watches whether its sound keeps up with the page's clock: where it falls
 * behind, the machine had no time to play or record it.
 */
export async function watchSoundTime(page: Page, rate: number): Promise<void> {
  await page.addInitScript((sampleRate) => {
    const contexts: { readonly context: AudioContext; origin: number | undefined; behind: number }[] = [];
    globalThis.AudioContext = class extends AudioContext {
      constructor(options?: AudioContextOptions) {
        super({ ...options, sampleRate });
        contexts.push({ context: this, origin: undefined, behind: 0 });
      }
    };
    setInterval(() => {
      for (const each of contexts) {
        if (each.context.state !== 'running') {
          each.origin = undefined;
          continue;
        }
        const ahead = performance.now() - each.context.currentTime * 1000;
        each.origin = Math.min(each.origin ?? ahead, ahead);
        each.behind = Math.max(each.behind, ahead - each.origin);
      }
    }, 250);
    Object.assign(globalThis, { soundBehind: () => Math.max(0, ...contexts.map(({ behind }) => behind)) });
  }, rate);
}

/** The most that any sound of the page fell behind, ms. */
export function soundTimeOf(page: Page): Promise<Ms> {
  return page.evaluate(() => (globalThis as unknown as { soundBehind: () => number }).soundBehind());
}
