import { registerSW } from 'virtual:pwa-register';
import { CLAIM_NAME } from '../../record/claims.ts';

/**
 * Makes the app work offline. When a newer build is ready, `offer` gets the function that takes it into use (and
 * reloads every page of the app); until the user calls it, this page stays as it is. While a check runs, in whatever tab, it does not,
 * and resolves with false.
 */
export function offerUpdates(
  locks: Pick<LockManager, 'query'> | undefined,
  offer: (use: () => Promise<boolean>) => void,
): void {
  const use = registerSW({
    onNeedRefresh: () =>
      offer(async () => {
        const held = (await locks?.query())?.held ?? [];
        if (held.some(({ name }) => name?.startsWith(CLAIM_NAME) === true)) return false;
        await use(true);
        return true;
      }),
  });
}
