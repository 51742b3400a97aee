import { LitElement, html, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { readShelfFile } from '../../shelf/shelf-file.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import { pickStyles } from '../shared/pick-styles.ts';
import { canScan, scanCode } from './scan-code.ts';
import { shelfStyles } from './shelf-styles.ts';

/** Taking in a shelf file: as a file, by the camera, or as text. Sends `shelf-file`; nothing is kept or sent by it. */
@customElement('tn-shelf-take')
export class ShelfTake extends LitElement {
  @state() private refused = '';
  @state() private scanning = false;
  @query('video') private video!: HTMLVideoElement;
  #stop: AbortController | undefined;

  static override styles = [baseStyles, pickStyles, shelfStyles];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.abort();
  }

  override render() {
    return html`<div class="row">
        <label class="pick"
          >Choose a shelf file<input type="file" accept=".json,application/json" @change=${this.#picked}
        /></label>
        ${
          canScan()
            ? html`<button @click=${() => void this.#scan()}>
                ${this.scanning ? 'Stop the camera' : 'Scan its QR code'}
              </button>`
            : nothing
        }
      </div>
      <video ?hidden=${!this.scanning} muted playsinline aria-label="Picture of the camera"></video>
      ${canScan() ? nothing : html`<p class="quiet">This browser reads no QR codes by itself; another app’s text can be put in below.</p>`}
      <details>
        <summary>Put in the text of a QR code</summary>
        <form @submit=${this.#typed}>
          <label class="field"
            >Text of the shelf file
            <textarea name="text" rows="3" required spellcheck="false" autocomplete="off"></textarea>
          </label>
          <button type="submit">Take the text</button>
        </form>
      </details>
      ${liveRegion('alert', this.refused, { look: 'refused' })}`;
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    // The same file can be chosen again.
    input.value = '';
    if (file === undefined) return;
    void file.text().then(
      (text) => this.#take(text, file.name),
      () => (this.refused = `${file.name} cannot be read.`),
    );
  }

  #typed(event: SubmitEvent): void {
    event.preventDefault();
    const text = new FormData(event.target as HTMLFormElement).get('text');
    this.#take(typeof text === 'string' ? text : '', 'The text');
  }

  async #scan(): Promise<void> {
    this.#stop?.abort();
    if (this.scanning) return;
    const stop = (this.#stop = new AbortController());
    this.scanning = true;
    this.refused = '';
    try {
      this.#take(await scanCode(this.video, stop.signal), 'The QR code');
    } catch {
      if (!stop.signal.aborted) this.refused = 'The camera cannot be used: allow it for this page, or choose a file.';
    } finally {
      this.scanning = false;
    }
  }

  #take(text: string, where: string): void {
    const read = readShelfFile(text, where);
    this.refused = read.ok ? '' : problemLine(read.problem);
    if (read.ok) send(this, 'shelf-file', read.value);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-shelf-take': ShelfTake;
  }
}
