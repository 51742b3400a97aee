import { page } from 'vitest/browser';
import { find, settle } from './parts.ts';

/** A phone, a tablet and a laptop, in px. */
const SIZES = [
  [360, 740],
  [820, 1180],
  [1366, 768],
] as const;
/** Up to this text size a running check is done without scrolling. */
const UNSCROLLED = 1.3;
/** The largest that can be set. */
const LARGEST = 1.6;

async function at(width: number, height: number, scale: number, look: () => void): Promise<void> {
  await page.viewport(width, height);
  document.documentElement.style.setProperty('--text-scale', String(scale));
  await settle();
  look();
}

async function asBefore(): Promise<void> {
  document.documentElement.style.removeProperty('--text-scale');
  await page.viewport(414, 896);
  await settle();
}

function cab(): { root: ShadowRoot; scrolled: Element } {
  const root = find('tn-check-screen, tn-rehearsal-run')?.shadowRoot;
  const scrolled = root?.querySelector('.columns');
  if (root === null || root === undefined || scrolled === null || scrolled === undefined)
    throw new Error('there is no cab');
  return { root, scrolled };
}

/** Which of these would have to be scrolled for, at any size of the screen and 130 % text; those that are not shown are left out. */
export async function toScrollFor(...selectors: readonly string[]): Promise<string[]> {
  const found: string[] = [];
  for (const [width, height] of SIZES) {
    await at(width, height, UNSCROLLED, () => {
      const { root, scrolled } = cab();
      scrolled.scrollTo({ top: 0 });
      for (const selector of selectors)
        if (isOut(root.querySelector(selector), scrolled)) found.push(`${selector} at ${width}x${height}`);
      for (const line of root.querySelectorAll('.caption'))
        if (line.scrollHeight > line.clientHeight + 1) found.push(`all of ${line.textContent.trim()} at ${width}`);
      for (const button of root.querySelectorAll('.foot .tools button'))
        if (button.scrollWidth > button.clientWidth) found.push(`the words of ${button.textContent} at ${width}`);
    });
  }
  await asBefore();
  return found;
}

/** Which of these leave the sight when one scrolls to the end, with the largest text on a phone. */
export async function scrolledAway(...selectors: readonly string[]): Promise<string[]> {
  let found: string[] = [];
  await at(SIZES[0][0], SIZES[0][1], LARGEST, () => {
    const { root, scrolled } = cab();
    scrolled.scrollTo({ top: scrolled.scrollHeight });
    found = selectors.filter((selector) => isOut(root.querySelector(selector), document.documentElement));
  });
  await asBefore();
  return found;
}

function isOut(element: Element | null, within: Element): boolean {
  if (element === null) return false;
  const box = element.getBoundingClientRect();
  const sight = within.getBoundingClientRect();
  return box.height > 0 && (box.top < sight.top - 1 || box.bottom > sight.bottom + 1);
}
