/** Offers `content` (JSON, when it is text) as a file of this name, by the browser's own way of saving. */
export function saveFile(name: string, content: string | Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(
    typeof content === 'string' ? new Blob([content], { type: 'application/json' }) : content,
  );
  link.download = name;
  link.click();
  // Some browsers read the address only after the click has been handled.
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
