/** Which tab of a browser writes a check: one at a time. */
export interface Claims {
  /** True when the check is this tab's now; false when another tab has it. One check at a time. */
  take(check: string): Promise<boolean>;
  /** Lets the check go; a tab that is closed or killed lets go by itself. */
  release(): void;
}

/** What the names of claims begin with. */
export const CLAIM_NAME = 'two-needles check ';

/**
 * Claims as Web Locks, which the browser frees with the tab. Without them (a page that was not loaded from https or localhost)
 * every claim is granted: then the store refuses the second writer of a place.
 */
export function tabClaims(locks: Pick<LockManager, 'request'> | undefined): Claims {
  let letGo: () => void = () => undefined;
  return {
    take(check) {
      letGo();
      if (locks === undefined) return Promise.resolve(true);
      return new Promise((resolve) => {
        const held = (lock: Lock | null): Promise<void> => {
          resolve(lock !== null);
          return lock === null ? Promise.resolve() : new Promise((done) => (letGo = done));
        };
        locks.request(`${CLAIM_NAME}${check}`, { ifAvailable: true }, held).catch(() => resolve(true));
      });
    },
    release: () => letGo(),
  };
}
