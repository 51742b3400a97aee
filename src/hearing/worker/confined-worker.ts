/**
 * Starts a module worker that is bound by the page's Content-Security-Policy. A worker from an address takes its policy from the
 * server's answer, which a static server gives none; one from a blob inherits the page's. `address` is the worker's built script.
 */
export function confinedWorker(address: string, name: string): Worker {
  const { href, pathname } = new URL(address, location.href);
  const blob = URL.createObjectURL(new Blob([`import ${JSON.stringify(href)};`], { type: 'text/javascript' }));
  // Tools that list workers tell them by their address.
  const worker = new Worker(`${blob}#${pathname}`, { type: 'module', name });
  // It has been asked for once the worker says anything, or fails.
  const release = (): void => URL.revokeObjectURL(blob);
  worker.addEventListener('message', release, { once: true });
  worker.addEventListener('error', release, { once: true });
  return worker;
}
