/** A page of its own, to be read or printed. */
export function openPage(page: string): void {
  const address = URL.createObjectURL(new Blob([page], { type: 'text/html' }));
  window.open(address, '_blank', 'noopener');
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
