import { LitElement, css, html } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { TONE_MEANINGS } from '../../answering/tones.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { Settings } from '../../running/settings.ts';
import type { Action } from '../../running/check-model.ts';
import { SHORTCUTS } from './shortcuts.ts';
import { sendUp } from '../shared/events.ts';

type Command = Extract<Action, { do: 'command' }>['command'];

/** What is wanted less often during a check: two commands, the list of keys, the settings. */
@customElement('tn-check-menu')
export class CheckMenu extends LitElement {
  @property({ attribute: false }) settings!: Settings;
  @query('dialog') private dialog!: HTMLDialogElement;

  static override styles = [
    baseStyles,
    css`
      .all {
        display: grid;
        grid-template-columns: minmax(0, 1fr);
        gap: 1rem;
        container-type: inline-size;
      }
      .keys {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.4rem 1rem;
        margin: 0;
      }
      .keys dd {
        margin: 0;
      }
      @container (max-width: 16rem) {
        .keys {
          grid-template-columns: minmax(0, 1fr);
        }
      }
      kbd {
        font: inherit;
        font-weight: 700;
        border: 1px solid var(--hair);
        border-radius: 0.25rem;
        padding: 0 0.3rem;
        white-space: nowrap;
      }
      .head {
        justify-content: space-between;
      }
    `,
  ];

  get open(): boolean {
    return this.dialog.open;
  }

  show(): void {
    this.dialog.showModal();
  }

  protected override firstUpdated(): void {
    void import('../shared/settings-form.ts').catch(() => undefined);
  }

  override render() {
    return html`<dialog aria-label="More">
      <div class="all">
        <div class="row head">
          <h2>More</h2>
          <button class="main" @click=${() => this.dialog.close()}>Close</button>
        </div>
        <div class="row">
          <button @click=${() => this.#command('how-long')}>How long left</button>
          <button @click=${() => this.#command('note')}>Take a note</button>
        </div>
        <section aria-label="Keys">
          <h2>Keys</h2>
          ${this.settings.keys ? '' : html`<p>Single keys are switched off below; Tab and Enter reach everything.</p>`}
          <dl class="keys">
            ${SHORTCUTS.map(
              ({ keys, what }) =>
                html`<dt><kbd>${keys}</kbd></dt>
                  <dd>${what}</dd>`,
            )}
          </dl>
        </section>
        <section aria-label="Tones">
          <h2>Tones</h2>
          <dl class="keys">
            ${Object.values(TONE_MEANINGS).map(
              ({ sounds, means }) =>
                html`<dt>${sounds}</dt>
                  <dd>${means}</dd>`,
            )}
          </dl>
        </section>
        <section aria-label="Settings">
          <h2>Settings</h2>
          <tn-settings-form .settings=${this.settings}></tn-settings-form>
        </section>
      </div>
    </dialog>`;
  }

  #command(command: Command): void {
    this.dialog.close();
    sendUp(this, 'act', { action: { do: 'command', command }, source: 'touch' });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-check-menu': CheckMenu;
  }
}
