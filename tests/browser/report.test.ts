import { afterEach, expect, it } from 'vitest';
import { checkFiles } from '../../src/record/export.ts';
import { logOfCheck, newSigner, packedBy, wholeCheck } from '../unit/record/logs.ts';

afterEach(() => document.body.replaceChildren());

it('is read on a phone with text twice as large: nothing is cut, and only the table of steps is moved sideways', async () => {
  const signer = await newSigner();
  const files = await checkFiles(await logOfCheck(wholeCheck(), signer), packedBy(signer));
  const frame = document.createElement('iframe');
  frame.style.cssText = 'width: 360px; height: 740px; border: 0';
  frame.srcdoc = new TextDecoder().decode(files.get('report.html'));
  document.body.append(frame);
  await new Promise((loaded) => frame.addEventListener('load', loaded, { once: true }));
  const page = frame.contentDocument!;
  page.body.style.fontSize = '20pt';
  expect(page.documentElement.scrollWidth).toBeLessThanOrEqual(360);
  const steps = page.querySelector<HTMLElement>('.steps')!;
  // By keyboard, too.
  expect(steps.tabIndex).toBe(0);
  expect(steps.scrollWidth).toBeGreaterThan(360);
  const cut = [...page.querySelectorAll('h1, p, dd, th, td, li')].filter(
    (each) => each.scrollWidth > each.clientWidth + 1 && getComputedStyle(each).display !== 'inline',
  );
  expect(cut.map(({ textContent }) => textContent.trim())).toEqual([]);
});
