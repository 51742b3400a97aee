import { bad, problemLine } from '../../units/outcome.ts';

/**
 * Tells of every fault that nobody has handled, each once: a promise that was let go, an error in a handler. Such a fault
 * must not pass in silence, since what it broke may be the check that runs.
 */
export function tellUnhandled(page: EventTarget, tell: (line: string) => void): void {
  const told = new Set<string>();
  const report = (cause: unknown): void => {
    const why = cause instanceof Error ? cause.message : String(cause);
    if (told.has(why)) return;
    told.add(why);
    const repair = 'If the screen no longer answers, reload this page: a check goes on where it was.';
    tell(problemLine(bad(`Something in this app failed (${why}).`, undefined, repair).problem));
  };
  page.addEventListener('unhandledrejection', (event) => report((event as PromiseRejectionEvent).reason));
  page.addEventListener('error', (event) => {
    // A picture or script that does not load is an event too, without an error.
    if (event instanceof ErrorEvent) report(event.error ?? event.message);
  });
}
