import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { importChecks, type ImportReport } from '../../record/import.ts';
import type { Clock } from '../../units/clock.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send } from '../shared/events.ts';

/** Lines that are listed one by one; the rest is counted. */
const MOST_LINES = 40;

/** Taking in logs of other devices, by choosing or dropping files. Sends `imported` when there is something new. */
@customElement('tn-log-import')
export class LogImport extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  /** Ms that only grow, by which long work lets the page live. */
  @property({ attribute: false }) steady!: Clock['steady'];
  @state() private progress: number | undefined;
  @state() private report: ImportReport | undefined;
  @state() private over = false;
  #stop: AbortController | undefined;

  static override styles = [
    baseStyles,
    css`
      section {
        display: grid;
        gap: 0.6rem;
        border: var(--edge) dashed var(--rule);
        border-radius: 0.5rem;
        padding: 0.7rem;
      }
      section.over {
        outline: 3px dashed var(--accent);
        outline-offset: 0.3rem;
      }
      .pick {
        position: relative;
        display: inline-grid;
        place-items: center;
        min-height: 3rem;
        padding: 0.4rem 0.9rem;
        border: var(--edge) solid var(--rule);
        border-radius: 0.5rem;
        background: var(--raised);
        font-weight: 600;
      }
      .pick:focus-within {
        outline: 3px solid var(--accent);
        outline-offset: 2px;
      }
      .pick input {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
        opacity: 0;
        cursor: pointer;
      }
      progress {
        width: 100%;
        height: 1.2rem;
        accent-color: var(--accent);
      }
      ul {
        margin: 0;
        padding: 0;
        list-style: none;
        max-height: 16rem;
        overflow-y: auto;
      }
      li {
        overflow-wrap: anywhere;
        padding-block: 0.15rem;
      }
      .bad {
        border-left: 0.4rem solid var(--fail);
        padding-left: 0.6rem;
      }
    `,
  ];

  override render() {
    return html`<section
      aria-label="Import"
      class=${this.over ? 'over' : ''}
      @dragover=${this.#dragOver}
      @dragleave=${() => (this.over = false)}
      @drop=${this.#drop}
    >
      ${
        this.progress === undefined
          ? html`<div class="row">
              <label class="pick"
                >Import logs<input
                  type="file"
                  multiple
                  accept=".zip,.json,application/zip,application/json"
                  @change=${this.#picked}
              /></label>
              <span class="quiet">Exported zips or log.json files; or drop them here.</span>
            </div>`
          : html`<div>
              <progress aria-label="Import" max="1" .value=${this.progress}></progress>
              <button @click=${() => this.#stop?.abort()}>Cancel the import</button>
            </div>`
      }
      <div role="status">${this.report === undefined ? nothing : this.#said(this.report)}</div>
    </section>`;
  }

  #said({ logs, stopped }: ImportReport) {
    const count = (outcome: string): number => logs.filter((each) => each.outcome === outcome).length;
    const parts = [
      `${count('added')} added`,
      ...(count('extended') > 0 ? [`${count('extended')} extended`] : []),
      `${count('known')} here already`,
      `${count('refused') + count('conflict')} not taken`,
    ];
    const told = logs.filter(
      ({ outcome, verification }) =>
        outcome === 'refused' || outcome === 'conflict' || (verification?.faults.length ?? 0) > 0,
    );
    const rest = told.length - MOST_LINES;
    return html`${this.#unknown(logs)}
      <p><b>${stopped ? 'Stopped. ' : ''}${parts.join(', ')}.</b></p>
      ${
        told.length === 0
          ? nothing
          : html`<ul tabindex="0" aria-label="What was not taken, or is not as it was sealed">
              ${told.slice(0, MOST_LINES).map(({ line }) => html`<li class="bad">${line}</li>`)}
              ${rest > 0 ? html`<li>And ${rest} more.</li>` : nothing}
            </ul>`
      }`;
  }

  /** Before all else: whose logs these are is not known, whatever they say. */
  #unknown(logs: ImportReport['logs']) {
    const unknown = logs.filter(({ sealer }) => sealer?.kind === 'unknown').length;
    const throwaway = logs.filter(({ sealer }) => sealer?.kind === 'throwaway').length;
    return html`${
      unknown === 0
        ? nothing
        : html`<p class="bad">
            <b
              >Unknown key: ${unknown} of ${logs.length} ${logs.length === 1 ? 'log was' : 'logs were'} sealed with a
              key that this device does not know.</b
            >
            Who made them is not known. <a href="#logs/keys">Compare the keys</a>
          </p>`
    }
    ${
      throwaway === 0
        ? nothing
        : html`<p class="bad">
            <b>Only a checksum: ${throwaway} of ${logs.length}.</b> The key was thrown away; who made them is not known.
          </p>`
    }`;
  }

  #dragOver(event: DragEvent): void {
    if (event.dataTransfer?.types.includes('Files') !== true) return;
    event.preventDefault();
    this.over = true;
  }

  #drop(event: DragEvent): void {
    event.preventDefault();
    this.over = false;
    void this.#take([...(event.dataTransfer?.files ?? [])]);
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement;
    const files = [...(input.files ?? [])];
    // The same file, exported anew, can be chosen again.
    input.value = '';
    void this.#take(files);
  }

  async #take(files: readonly File[]): Promise<void> {
    if (files.length === 0 || this.progress !== undefined) return;
    this.#stop = new AbortController();
    this.progress = 0;
    this.report = undefined;
    try {
      this.report = await importChecks(
        files.map((file) => ({ name: file.name, file })),
        this.store,
        {
          signal: this.#stop.signal,
          steady: this.steady,
          onProgress: (fraction) => (this.progress = fraction),
        },
      );
    } catch {
      const line = 'The import broke off: a file cannot be read, or storage failed. What had been taken in is kept.';
      this.report = { logs: [{ outcome: 'refused', where: '', line }], stopped: true };
    } finally {
      this.progress = undefined;
    }
    send(this, 'imported');
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-log-import': LogImport;
  }
}
