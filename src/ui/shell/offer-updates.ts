import { registerSW } from 'virtual:pwa-register';

/**
 * Makes the app work offline. When a newer build is ready, `offer` gets the function that takes it into use (and
 * reloads the page); until the user calls it, this page stays as it is.
 */
export function offerUpdates(offer: (use: () => void) => void): void {
  const use = registerSW({ onNeedRefresh: () => offer(() => void use(true)) });
}
