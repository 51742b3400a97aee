/** Keeps the screen lit during a check, where the browser can; until the returned function is called. */
export function stayAwake(): () => void {
  if (!('wakeLock' in navigator)) return () => undefined;
  let lock: WakeLockSentinel | undefined;
  let wanted = true;
  const take = (): void => {
    if (!wanted || document.visibilityState !== 'visible') return;
    navigator.wakeLock.request('screen').then(
      (sentinel) => {
        if (wanted) lock = sentinel;
        else void sentinel.release();
      },
      // Refused on low battery, for example: the screen then sleeps as it is set to.
      () => undefined,
    );
  };
  // The browser drops the lock whenever the page is hidden.
  document.addEventListener('visibilitychange', take);
  take();
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', take);
    void lock?.release();
  };
}
