/** Brings the first field that holds a refused text into view, and gives it the focus. */
export function showFirstRefused(root: ParentNode): void {
  const field = root.querySelector<HTMLElement>('[aria-invalid="true"]');
  const folded = field?.closest('details') ?? undefined;
  if (folded !== undefined) folded.open = true;
  field?.focus();
}
