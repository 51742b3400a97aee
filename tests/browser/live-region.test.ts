import { html, nothing, render } from 'lit';
import { afterEach, expect, it } from 'vitest';
import { liveRegion } from '../../src/ui/shared/live-region.ts';
import { until } from './support/parts.ts';

const place = document.createElement('div');

afterEach(() => {
  render(nothing, place);
  place.remove();
});

/** What a screen reader is told of: text that comes into a region which stands. Text that enters with its region is not among it. */
function news(): string[] {
  const told: string[] = [];
  new MutationObserver((records) => {
    for (const { target, addedNodes } of records) {
      const region = target instanceof Element ? target.closest('[role=alert]') : target.parentElement;
      const words = [...addedNodes].map(({ textContent }) => textContent?.trim() ?? '').filter((text) => text !== '');
      if (region?.getAttribute('role') === 'alert') told.push(...words);
    }
  }).observe(place, { childList: true, subtree: true });
  return told;
}

it('is in the page, empty, before its text comes, also where both would enter together', async () => {
  document.body.append(place);
  const told = news();
  render(
    html`<section>${liveRegion('alert', 'This device keeps no check of that address.', { look: 'warning' })}</section>`,
    place,
  );
  const region = place.querySelector('[role=alert]');
  expect(region?.textContent).toBe('');
  await until(() => told.length > 0, 'the text');
  expect(told).toEqual(['This device keeps no check of that address.']);
  expect(place.querySelector('[role=alert]')).toBe(region);
  expect(region?.className).toBe('warning');
});

it('stands where nothing is said, and says at once what comes then', async () => {
  document.body.append(place);
  const draw = (said: string) => render(liveRegion('alert', said, { look: 'refused', id: 'why' }), place);
  draw('');
  const region = place.querySelector('#why');
  expect(region?.className).toBe('unseen');
  for (let frame = 0; frame < 3; frame += 1) await new Promise((drawn) => requestAnimationFrame(drawn));
  draw('A hold is 5 to 299 whole seconds.');
  expect(region?.textContent).toBe('A hold is 5 to 299 whole seconds.');
  draw('');
  expect(region?.textContent).toBe('');
  expect(place.querySelector('#why')).toBe(region);
});

it('waits anew where its part of the page is taken out and put back', async () => {
  document.body.append(place);
  const draw = (there: boolean) => render(there ? liveRegion('alert', 'Muted.') : nothing, place);
  draw(true);
  await until(() => place.textContent === 'Muted.', 'the text');
  draw(false);
  draw(true);
  expect(place.textContent).toBe('');
  await until(() => place.textContent === 'Muted.', 'the text again');
});
