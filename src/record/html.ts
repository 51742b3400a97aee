/** Markup that is known to be escaped. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

type Hole = string | number | Html | readonly Html[] | undefined;

/** Markup from a template: whatever is put into it is shown as text, unless it is markup made here. */
export function html(parts: TemplateStringsArray, ...holes: readonly Hole[]): Html {
  return new Html(parts.map((part, at) => part + fill(holes[at])).join(''));
}

function fill(hole: Hole): string {
  if (hole === undefined) return '';
  if (hole instanceof Html) return hole.text;
  if (typeof hole === 'object') return hole.map(({ text }) => text).join('');
  return String(hole).replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
