import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { deviceChains, missingText, placedSeal, type DeviceChain, type PlacedSeal } from '../../record/device-chain.ts';
import { keyWords } from '../../record/key-words.ts';
import {
  keyOfQuery,
  keyQuery,
  MAX_KEY_NAME,
  readKeys,
  standingOf,
  withKeys,
  writeKeys,
  type KnownKey,
} from '../../record/known-keys.ts';
import { breather } from '../../record/pace.ts';
import type { Clock } from '../../units/clock.ts';
import { sameKey } from '../../record/signer.ts';
import { verifyLog } from '../../record/verify.ts';
import { problemLine } from '../../units/outcome.ts';
import { saveFile } from '../library/save-file.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { pickStyles } from '../shared/pick-styles.ts';
import { codeSquare } from '../shared/code-square.ts';
import { keysPanelStyles } from './keys-panel-styles.ts';
import { sealWords } from './seal-words.ts';

/** A key with the words that people compare. */
interface Worded extends KnownKey {
  readonly words: string;
}

/** The keys that this station knows: its own to give to others, others' to take in, and what is missing of their checks. */
@customElement('tn-keys')
export class KeysPanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  /** Ms that only grow, by which long work lets the page live. */
  @property({ attribute: false }) steady!: Clock['steady'];
  /** The key that the address offers, as `keyQuery` writes it; or empty. */
  @property() query = '';
  /** Where the list of checks is. */
  @property() back = '#logs';
  @state() private own: Worded | undefined;
  @state() private known: readonly Worded[] = [];
  @state() private offered: Worded | undefined;
  @state() private said = '';
  @state() private progress: number | undefined;
  @state() private chains: readonly DeviceChain[] | undefined;
  #stop: AbortController | undefined;

  static override styles = [baseStyles, pickStyles, keysPanelStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('store') || changed.has('query')) void this.#read();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.abort();
  }

  override render() {
    return html`<main>
      <a href=${this.back}>Back to the list</a>
      <h1 tabindex="-1">Keys</h1>
      <p role="status" class=${this.said === '' ? 'unseen' : 'said'}>${this.said}</p>
      ${this.#offer()} ${this.#ownKey()} ${this.#knownKeys()} ${this.#missing()}
      <section class="panel" aria-label="Seals">${sealWords()}</section>
    </main>`;
  }

  #offer() {
    const { offered } = this;
    if (offered === undefined) return nothing;
    return html`<section class="panel offer" aria-label="A key is offered">
      <h2>Is this ${offered.officer === true ? 'the own key of officer' : 'the key of'} “${offered.name}”?</h2>
      <p>Compare these six words with those that the other device shows. Take it only if all are the same.</p>
      <p class="words">${offered.words}</p>
      <div class="row">
        <button class="main" @click=${() => void this.#take([offered])}>The words are the same: take it</button>
        <a class="button" href="#logs/keys">Leave it</a>
      </div>
    </section>`;
  }

  #ownKey() {
    const { own } = this;
    if (own === undefined) return html`<p>This page has no key: it was not opened at a secure address (https).</p>`;
    const address = `${location.href.split('#')[0] ?? ''}#logs/keys?${keyQuery(own)}`;
    return html`<section class="panel" aria-label="This device">
      <h2>This device</h2>
      <form class="row" @submit=${this.#rename}>
        <label class="field"
          >Its name <input name="name" required maxlength=${MAX_KEY_NAME} .value=${own.name} autocomplete="off"
        /></label>
        <button type="submit">Keep the name</button>
      </form>
      <p>Its key, in six words to compare:</p>
      <p class="words">${own.words}</p>
      ${
        own.name === ''
          ? html`<p class="quiet">Name it first; then its key can be given to other devices.</p>`
          : html`<p>Another device takes the key by its camera, which opens this page there:</p>
              ${codeSquare(address, `QR code of the key of ${own.name}`)}`
      }
    </section>`;
  }

  #knownKeys() {
    return html`<section class="panel" aria-label="Known keys">
      <h2>Known keys</h2>
      ${
        this.known.length === 0
          ? html`<p class="quiet">
              None but this device’s own. Logs of other devices will be shown as of an unknown key.
            </p>`
          : html`<ul>
              ${this.known.map(
                (each) =>
                  html`<li>
                    <span
                      ><b>${each.name}</b>${each.officer === true ? ', an officer’s own key' : ''}<br /><span
                        class="quiet"
                        >${each.words}</span
                      ></span
                    >
                    <button @click=${() => void this.#forget(each)}>
                      Forget<span class="unseen"> ${each.name}</span>
                    </button>
                  </li>`,
              )}
            </ul>`
      }
      <div class="row">
        <button ?disabled=${this.own === undefined || this.own.name === ''} @click=${this.#export}>
          Export the list of keys
        </button>
        <label class="pick"
          >Import a list of keys<input type="file" accept=".json,application/json" @change=${this.#picked}
        /></label>
      </div>
      <p class="quiet">
        <code>verify --keys</code> takes the same list. A list is as trustworthy as the hand that it comes from: compare
        the words of what matters.
      </p>
    </section>`;
  }

  #missing() {
    return html`<section class="panel" aria-label="Missing checks">
      <h2>Missing checks</h2>
      <p>The checks of a device are numbered. Looking through all logs shows which numbers are not here.</p>
      ${
        this.progress === undefined
          ? html`<button @click=${() => void this.#look()}>Look for missing checks</button>`
          : html`<progress aria-label="Looking" max="1" .value=${this.progress}></progress>
              <button @click=${() => this.#stop?.abort()}>Cancel</button>`
      }
      <div role="status">
        ${this.chains === undefined ? nothing : this.chains.length === 0 ? html`<p>No log here is numbered.</p>` : nothing}
        ${this.chains?.map((chain) => this.#chain(chain))}
      </div>
    </section>`;
  }

  #chain({ key, checks, highest, missing, faults }: DeviceChain) {
    const standing = standingOf(key, this.known, this.own?.key);
    const name = standing.kind === 'own' ? 'This device' : standing.kind === 'known' ? standing.name : 'An unknown key';
    return html`<p>
        <b>${name}:</b> ${checks} of its first ${highest} checks are here.
        ${missing.length === 0 ? 'None is missing.' : html`<b>Not here: number ${missingText(missing)}.</b>`}
      </p>
      ${faults.map((fault) => html`<p class="refused">${fault}</p>`)}`;
  }

  async #read(): Promise<void> {
    const { store, query } = this;
    const packing = await store.packing().catch(() => undefined);
    if (packing === undefined || store.keys === undefined) return;
    const worded = async (each: KnownKey): Promise<Worded> => ({ ...each, words: await keyWords(each.key) });
    const key = packing.signer.publicKey;
    this.own = await worded({ name: await store.keys.name(), key });
    this.known = await Promise.all(packing.known.map(worded));
    const offered = keyOfQuery(query);
    const fresh = offered !== undefined && standingOf(offered.key, packing.known, key).kind === 'unknown';
    this.offered = fresh ? await worded(offered) : undefined;
  }

  async #change(change: () => Promise<void>, said: string): Promise<void> {
    try {
      await change();
      this.said = said;
    } catch {
      this.said = 'Not kept: storage does not answer.';
    }
    await this.#read();
  }

  #rename(event: SubmitEvent): void {
    event.preventDefault();
    const name = new FormData(event.target as HTMLFormElement).get('name');
    const { own } = this;
    if (typeof name !== 'string' || own === undefined) return;
    const read = readKeys(writeKeys([{ name, key: own.key }]), 'The name');
    if (!read.ok) this.said = 'A name has 1 to 60 printable characters.';
    else void this.#change(async () => this.store.keys?.rename(name.trim()), 'The name is kept.');
  }

  async #take(keys: readonly KnownKey[]): Promise<void> {
    const plain = keys.map(plainKey);
    const others = plain.filter(({ key }) => this.own === undefined || !sameKey(key, this.own.key));
    const before = this.known.map(plainKey);
    await this.#change(
      async () => this.store.keys?.keep(withKeys(before, others)),
      `Known now: ${others.map(({ name }) => name).join(', ') || 'no other key than this device’s own'}.`,
    );
  }

  async #forget({ name, key }: KnownKey): Promise<void> {
    const rest = this.known.filter((each) => !sameKey(each.key, key)).map(plainKey);
    await this.#change(async () => this.store.keys?.keep(rest), `Forgotten: ${name}.`);
  }

  #export(): void {
    const all = [...(this.own === undefined ? [] : [this.own]), ...this.known];
    saveFile('keys.json', new Blob([writeKeys(all.map(plainKey))], { type: 'application/json' }));
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    // The same file, exported anew, can be chosen again.
    input.value = '';
    if (file !== undefined) void this.#import(file);
  }

  async #import(file: File): Promise<void> {
    const read = readKeys(await file.text().catch(() => ''), file.name);
    if (read.ok) await this.#take(read.value);
    else this.said = problemLine(read.problem);
  }

  async #look(): Promise<void> {
    const stop = (this.#stop = new AbortController());
    const breathe = breather({ signal: stop.signal, steady: this.steady });
    const seals: PlacedSeal[] = [];
    this.progress = 0;
    this.chains = undefined;
    try {
      const heads = await this.store.heads();
      for (const [at, { id, rigName, startedAt }] of heads.entries()) {
        await breathe();
        this.progress = at / heads.length;
        const log = await this.store.log(id);
        if (log === undefined) continue;
        const verification = await verifyLog(log);
        const seal = placedSeal(log, verification, `${rigName}, ${startedAt}`);
        if (verification.faults.length === 0 && seal !== undefined) seals.push(seal);
      }
      this.chains = deviceChains(seals);
    } catch {
      this.said = stop.signal.aborted ? 'Looking for missing checks: cancelled.' : 'The record cannot be read.';
    } finally {
      this.progress = undefined;
    }
  }
}

/** Without its words. */
function plainKey({ name, key, officer }: KnownKey): KnownKey {
  return { name, key, ...(officer === true ? { officer } : {}) };
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-keys': KeysPanel;
  }
}
