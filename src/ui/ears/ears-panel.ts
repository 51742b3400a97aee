import { LitElement, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { megabytes } from '../../hearing/models/megabytes.ts';
import type { StoredModel, UnfinishedDownload } from '../../hearing/models/records.ts';
import type { ServedModel } from '../../hearing/models/served.ts';
import { confirmedHosts, confirmHost, unconfirmedHost, withdrawHost } from '../shared/hosts.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { pickStyles } from '../shared/pick-styles.ts';
import type { EarModels, EarModelsView } from '../../running/ear-models.ts';
import { earName, earOrder } from '../../running/ear-order.ts';
import { earsPanelStyles } from './ears-panel-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** The publisher's small English model, about 40 MB. Asked for only when the user presses Download. */
const PUBLISHERS_MODEL = 'https://alphacephei.com/vosk/models/vosk-model-small-en-us-0.15.zip';
/** Its checksum, as public installers of it give it; the publisher gives none. Another file is refused. */
const PUBLISHERS_SHA256 = '30f26242c4eb449f948e42cb302dd7a686cb29a3423a8367f99ff41780942498';

/** The address that is offered again after the page was loaded again for its host. */
const ADDRESS_KEY = 'two-needles-download';

/** Which ear listens, and the models of the Vosk ear: add, check, remove. Sends `settings` when another ear is chosen. */
@customElement('tn-ears')
export class EarsPanel extends LitElement {
  @property({ attribute: false }) models!: EarModels;
  /** `ear` of the settings. */
  @property() choice = 'auto';
  /** A download that waits for its host to be confirmed. */
  @state() private asked: { readonly host: string; readonly url: string } | undefined;
  #unwatch: () => void = () => undefined;

  static override styles = [baseStyles, pickStyles, earsPanelStyles];

  override connectedCallback(): void {
    super.connectedCallback();
    // Loaded after the start screen: what that has set is there with the first update only.
    void this.updateComplete.then(() => {
      if (!this.isConnected) return;
      this.#unwatch = this.models.watch(() => this.requestUpdate());
      void this.models.refresh();
    });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#unwatch();
  }

  override render() {
    const { view } = this.models;
    const [first] = earOrder(this.choice, view.models);
    return html`<section aria-label="Ears">
      <h2>Ears</h2>
      ${first === undefined ? nothing : html`<p class="long">The next check is heard by <b>${earName(first)}</b>.</p>`}
      ${this.#choices(view)} ${liveRegion('alert', view.refused, { look: 'refused' })}
      ${liveRegion('status', view.done, { look: 'done' })} ${this.#confirmation()} ${this.#job(view)}
      ${view.models.map((model) => this.#model(model, view))}
      ${view.unfinished.map((part) => this.#unfinished(part, view))}
      ${view.served.map((model) => this.#served(model, view))}
      <details
        ?open=${(view.models.length === 0 && view.unfinished.length > 0) || sessionStorage.getItem(ADDRESS_KEY) !== null}
      >
        <summary>Add a model for the Vosk ear</summary>
        ${this.#add(view)}
      </details>
    </section>`;
  }

  #choices({ models }: EarModelsView) {
    const known = this.choice === 'embedded' || models.some(({ id }) => id === this.choice);
    const options: readonly (readonly [string, string])[] = [
      ['auto', 'Automatic: the best speech model on this device'],
      ['embedded', 'Always the embedded ear'],
      ...models.map(({ id, name }): [string, string] => [id, `Always Vosk with ${name}`]),
    ];
    return html`<fieldset>
      <legend>Which ear listens</legend>
      ${options.map(
        ([value, label]) =>
          html`<label class="tick"
            ><input
              type="radio"
              name="ear"
              .checked=${live(value === (known ? this.choice : 'auto'))}
              @change=${() => this.#choose(value)}
            /><span class="long">${label}</span></label
          >`,
      )}
      <p class="quiet">Should it fail in a check, the other one takes over.</p>
    </fieldset>`;
  }

  #job({ job }: EarModelsView) {
    if (job === undefined) return nothing;
    const { doing, received, total, canCancel } = job;
    const amount =
      received === undefined
        ? ''
        : total === undefined
          ? `: ${megabytes(received)}`
          : `: ${megabytes(received)} of ${megabytes(total)}`;
    return html`<p>${doing}${amount}</p>
      ${
        received === undefined || total === undefined
          ? html`<progress aria-label=${doing}></progress>`
          : html`<progress aria-label=${doing} max=${total} .value=${received}></progress>`
      }
      ${canCancel ? html`<button @click=${() => this.models.cancel()}>Cancel the download</button>` : nothing}`;
  }

  #model(model: StoredModel, { job }: EarModelsView) {
    const { name, bytes, vocabulary, missingWords, sha256, source } = model;
    return html`<div class="model">
      <h3 class="long">${name}</h3>
      <p>${megabytes(bytes)}, ${vocabulary} words, kept on this device</p>
      ${
        missingWords.length === 0
          ? nothing
          : html`<p class="long"><b>It cannot hear ${missingWords.length} of our words:</b> ${fewOf(missingWords)}</p>`
      }
      ${model.takesPhrases ? nothing : html`<p>It hears any words in every step, which is less accurate.</p>`}
      ${model.rejectsOtherSpeech ? nothing : html`<p>It cannot tell other talk from callouts.</p>`}
      <details>
        <summary>SHA-256 and origin<span class="unseen"> of ${name}</span></summary>
        <p class="long sum">${sha256}</p>
        <p class="long">${source}</p>
      </details>
      <div class="row">
        <button ?disabled=${job !== undefined} @click=${() => void this.models.verify(model)}>
          Verify<span class="unseen"> ${name}</span>
        </button>
        <button ?disabled=${job !== undefined} @click=${() => void this.models.remove(model.id, name)}>
          Remove<span class="unseen"> ${name}</span>
        </button>
      </div>
    </div>`;
  }

  #unfinished(part: UnfinishedDownload, { job }: EarModelsView) {
    if (job !== undefined) return nothing;
    const { url, received, total, sha256 } = part;
    return html`<div class="model">
      <h3>Unfinished download</h3>
      <p class="long">${megabytes(received)}${total === undefined ? '' : ` of ${megabytes(total)}`} of ${url}</p>
      <div class="row">
        <button @click=${() => this.#fetch(url, sha256)}>
          Resume<span class="unseen"> the download of ${url}</span>
        </button>
        <button @click=${() => void this.models.remove(part.id, 'the unfinished download')}>
          Remove<span class="unseen"> the unfinished download of ${url}</span>
        </button>
      </div>
    </div>`;
  }

  #served({ name, bytes, url, sha256 }: ServedModel, { job }: EarModelsView) {
    return html`<div class="model">
      <h3 class="long">${name}</h3>
      <p>${megabytes(bytes)}, offered by this station</p>
      <div class="row">
        <button ?disabled=${job !== undefined} @click=${() => void this.models.download(url, sha256)}>
          Add<span class="unseen"> ${name}</span>
        </button>
      </div>
    </div>`;
  }

  #add({ free, job }: EarModelsView) {
    return html`<form @submit=${this.#download}>
      <p>
        A Vosk model hears better than the embedded ear and then works offline too. Nothing is fetched before you press
        Download.${free === undefined ? '' : ` Free in this browser: ${megabytes(free)}.`}
      </p>
      <label class="field"
        >Address of the archive
        <input
          name="url"
          type="url"
          required
          pattern="https?://.+"
          value=${sessionStorage.getItem(ADDRESS_KEY) ?? PUBLISHERS_MODEL}
      /></label>
      <label class="field"
        >SHA-256, if the publisher gives one
        <input
          name="sha256"
          pattern=" *[0-9a-fA-F]{64} *"
          title="64 digits 0-9 and a-f"
          autocomplete="off"
          spellcheck="false"
      /></label>
      <div class="row">
        <button type="submit" ?disabled=${job !== undefined}>Download</button>
        <label class="pick ${job === undefined ? '' : 'off'}"
          >Choose a file<input
            type="file"
            accept=".gz,.tgz,.zip"
            ?disabled=${job !== undefined}
            @change=${this.#picked}
        /></label>
      </div>
      ${this.#hosts()}
    </form>`;
  }

  #download(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const url = textIn(form, 'url');
    const sha256 = checksumIn(form) ?? (url === PUBLISHERS_MODEL ? PUBLISHERS_SHA256 : undefined);
    this.#fetch(url, sha256);
  }

  #fetch(url: string, sha256: string | undefined): void {
    const host = unconfirmedHost(url, location.origin, localStorage);
    if (host === undefined) void this.models.download(url, sha256);
    else this.asked = { host, url };
  }

  /** A host that the page may not talk to yet: the policy of the page is made when it is loaded. */
  #confirmation() {
    const { asked } = this;
    if (asked === undefined) return nothing;
    const line = html`<p class="long">
      <b>This page talks to its own address only.</b> To download from <b>${asked.host}</b> it has to be allowed to, and
      loaded again. Nothing is sent there but the request for the file.
    </p>`;
    return html`<div class="model">
      ${liveRegion('alert', line)}
      <div class="row">
        <button type="button" @click=${() => this.#confirm(asked.host, asked.url)}>
          Allow ${asked.host}, and load the page again
        </button>
        <button type="button" @click=${() => (this.asked = undefined)}>Do not</button>
      </div>
    </div>`;
  }

  #hosts() {
    return confirmedHosts(localStorage).map(
      (host) =>
        html`<div class="row">
          <span class="long">Allowed: <b>${host}</b></span>
          <button type="button" @click=${() => this.#withdraw(host)}>
            Withdraw<span class="unseen"> ${host}</span>
          </button>
        </div>`,
    );
  }

  #confirm(host: string, url: string): void {
    confirmHost(host, localStorage);
    sessionStorage.setItem(ADDRESS_KEY, url);
    location.reload();
  }

  #withdraw(host: string): void {
    withdrawHost(host, localStorage);
    location.reload();
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    const sha256 = input.form === null ? undefined : checksumIn(input.form);
    if (file !== undefined) void this.models.addFile(file, sha256);
    // The same file can be chosen again.
    input.value = '';
  }

  #choose(ear: string): void {
    sendUp(this, 'settings', { ear });
  }
}

function textIn(form: HTMLFormElement, name: string): string {
  const value = new FormData(form).get(name);
  return typeof value === 'string' ? value.trim() : '';
}

function checksumIn(form: HTMLFormElement): string | undefined {
  const text = textIn(form, 'sha256');
  return text === '' ? undefined : text;
}

const FEW = 12;

function fewOf(words: readonly string[]): string {
  const more = words.length - FEW;
  return `${words.slice(0, FEW).join(', ')}${more > 0 ? ` and ${more} more` : ''}.`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-ears': EarsPanel;
  }
}
