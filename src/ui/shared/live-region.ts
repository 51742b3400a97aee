import { html, nothing, type TemplateResult } from 'lit';
import { AsyncDirective, directive } from 'lit/async-directive.js';

/** Frames for which a region stands empty: it has to be known to a screen reader before what it says is news. */
const EMPTY_FRAMES = 2;

class AfterRegion extends AsyncDirective {
  #said: unknown;
  #stands = false;
  #frame: number | undefined;

  render(said: unknown): unknown {
    this.#said = said;
    if (this.#stands) return said;
    if (this.#frame === undefined) this.#wait(EMPTY_FRAMES);
    return nothing;
  }

  protected override disconnected(): void {
    if (this.#frame !== undefined) cancelAnimationFrame(this.#frame);
    this.#frame = undefined;
    this.#stands = false;
  }

  protected override reconnected(): void {
    this.setValue(nothing);
    this.#wait(EMPTY_FRAMES);
  }

  #wait(frames: number): void {
    this.#frame = requestAnimationFrame(() => {
      if (frames > 1) {
        this.#wait(frames - 1);
        return;
      }
      this.#frame = undefined;
      this.#stands = true;
      this.setValue(this.#said);
    });
  }
}

/** The text of a region: it comes once the region has stood for a moment. */
export const afterRegion = directive(AfterRegion);

interface Region {
  /** Class while something is said. */
  readonly look?: string;
  /** By which a field is described. */
  readonly id?: string;
}

/**
 * What screen readers say when it comes: `alert` at once, `status` when there is a pause. One that enters the page together with its
 * text is said by none; so the region stands first, also where nothing is to be said, and its text comes after. `said`: text, a template,
 * or a list of them.
 */
export function liveRegion(role: 'alert' | 'status', said: unknown, { look = '', id }: Region = {}): TemplateResult {
  const silent = said === '' || said === nothing || (Array.isArray(said) && said.length === 0);
  return html`<div role=${role} class=${silent ? 'unseen' : look} id=${id ?? nothing}>${afterRegion(said)}</div>`;
}
