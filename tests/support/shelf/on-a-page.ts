import type { Page } from 'playwright-core';
import { writeShelfFile, type ShelfFile } from '../../../src/shelf/shelf-file.ts';
import { startCheck } from '../cab.ts';

/** A check that is stopped at once: it is sealed, and has something to go. */
export async function shortCheck(page: Page): Promise<void> {
  await startCheck(page, { rig: 'Engine 31' });
  const stop = page.getByRole('button', { name: 'Stop', exact: true });
  const yes = page.getByRole('button', { name: 'Yes, stop' });
  const over = page.getByRole('button', { name: 'Back to the start' });
  await stop.click();
  // A busy machine drops sound, and a question that is open then is withdrawn: it is asked again.
  while (!(await over.isVisible())) {
    await stop.or(yes).or(over).last().waitFor();
    await ((await yes.isVisible()) ? yes : stop).click({ timeout: 5000 }).catch((late: unknown) => late);
  }
  await over.click();
}

/** Puts a shelf file in, up to the list of what leaves the device. */
export async function offerShelf(page: Page, address: string, file: ShelfFile): Promise<void> {
  await page.goto(`${address}#logs/shelf`);
  await page.getByText('Put in the text of a QR code').click();
  await page.getByLabel('Text of the shelf file').fill(writeShelfFile(file, true));
  await page.getByRole('button', { name: 'Take the text' }).click();
  await page.getByRole('heading', { name: 'What leaves this device' }).waitFor();
}

export async function switchOn(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^Allow .* switch on/ }).click();
}
