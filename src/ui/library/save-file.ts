/** Offers `text` as a file of this name, by the browser's own way of saving. */
export function saveFile(name: string, text: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  link.download = name;
  link.click();
  // Some browsers read the address only after the click has been handled.
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
