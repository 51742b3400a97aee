import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { liveRegion } from '../shared/live-region.ts';
import type { Kept, Offline } from '../shell/offline.ts';

/** What the synthesiser takes, as fetched. */
const OWN_WORDS_MB = 21.5;
/** How often it is looked whether the app has been kept by now. */
const LOOK_MS = 1000;

/** Says whether the app runs without a network, what of it is kept on this device, and what the browser may still delete. */
@customElement('tn-offline')
export class OfflinePanel extends LitElement {
  @property({ attribute: false }) offline!: Offline;
  @state() private kept: Kept | undefined;
  @state() private line = '';
  #looking: ReturnType<typeof setTimeout> | undefined;

  static override styles = [
    baseStyles,
    css`
      .sign {
        display: grid;
        gap: 0.5rem;
      }
      h2::before {
        content: '○ ';
      }
      .ready h2::before {
        content: '✓ ';
      }
      .ready h2 {
        color: var(--pass);
      }
      button {
        justify-self: start;
      }
      a {
        color: inherit;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    // What was set before the element was loaded is there with the first update only.
    void this.updateComplete.then(() => this.#look());
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearTimeout(this.#looking);
  }

  override render() {
    const { kept } = this;
    if (kept === undefined) return nothing;
    const size = kept.bytes === undefined ? '' : ` All of it, with your records, takes ${megabytes(kept.bytes)}.`;
    return html`<section class="sign ${kept.app === 'kept' ? 'ready' : ''}" aria-label="Offline">
      ${liveRegion('status', html`<h2>${HEADINGS[kept.app]}</h2>`)}
      ${
        kept.app === 'unable'
          ? html`<p>
              Without https this browser keeps no app. Open it at its https address to use it where there is no network.
            </p>`
          : html`<p>
              The app, its two ears, its voice and the demo ${kept.app === 'kept' ? 'are' : 'are being'} kept on this
              device.${kept.app === 'kept' ? size : ''}
            </p>`
      }
      ${kept.app === 'unable' ? nothing : this.#mayBeDeleted(kept)}
      ${kept.app === 'kept' ? this.#ownWords(kept) : nothing} ${liveRegion('status', this.line)}
    </section>`;
  }

  #mayBeDeleted({ promised, installed, sevenDays }: Kept) {
    if (sevenDays && !installed)
      return html`<p>
        <b>This browser deletes it, with your records, after seven days in which the app was not opened.</b> Add the app
        to the home screen (Share, Add to Home Screen): then it stays.
        <a href="#logs">Export what you must not lose.</a>
      </p>`;
    if (promised) return html`<p>The browser has promised to keep it.</p>`;
    return html`<p>
      The browser may delete it, with your records, when the device runs out of room.
      ${installed ? nothing : 'Installed from the browser’s menu it is safer.'}
      <a href="#logs">Export what you must not lose.</a>
    </p>`;
  }

  #ownWords({ ownWords }: Kept) {
    if (ownWords) return html`<p>Texts of your own plans are spoken offline, too.</p>`;
    return html`<p>
        Texts of your own plans are spoken offline only with the synthesiser; else they are shown large, with a tone.
      </p>
      <button @click=${() => void this.#keep()}>Keep the synthesiser (${OWN_WORDS_MB} MB)</button>`;
  }

  async #keep(): Promise<void> {
    this.line = 'Fetching the synthesiser.';
    const done = await this.offline.keepOwnWords();
    this.line = done.ok ? 'The synthesiser is kept.' : problemLine(done.problem);
    this.kept = await this.offline.read();
  }

  async #look(): Promise<void> {
    this.kept = await this.offline.read();
    if (this.kept.app === 'getting' && this.isConnected) this.#looking = setTimeout(() => void this.#look(), LOOK_MS);
  }
}

const HEADINGS: Readonly<Record<Kept['app'], string>> = {
  getting: 'Getting ready for offline',
  kept: 'Ready for offline',
  unable: 'Not for offline',
};

function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toFixed(0)} MB`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-offline': OfflinePanel;
  }
}
