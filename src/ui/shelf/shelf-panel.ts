import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { withKeys } from '../../record/known-keys.ts';
import { sameKey } from '../../record/signer.ts';
import { corsSettings } from '../../shelf/cors.ts';
import type { ShelfKeeper } from '../../shelf/keeper.ts';
import type { Outbox } from '../../shelf/sender.ts';
import type { ShelfSetting, SoundChoice } from '../../shelf/shelf-disk.ts';
import { writeShelfFile, type ShelfFile } from '../../shelf/shelf-file.ts';
import type { Clock } from '../../units/clock.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { codeSquare } from '../shared/code-square.ts';
import { on } from '../shared/events.ts';
import { confirmHost, unconfirmedHost, withdrawHost } from '../shared/hosts.ts';
import { liveRegion } from '../shared/live-region.ts';
import './shelf-list.ts';
import { shelfStyles } from './shelf-styles.ts';
import './shelf-take.ts';
import { whatLeaves } from './what-leaves.ts';

const SOUNDS: readonly (readonly [SoundChoice, string])[] = [
  ['never', 'No sounds'],
  ['wifi', 'Sounds, by wifi or cable only'],
  ['any', 'Sounds, by any network'],
];

/** Bytes that cameras read well from a screen; the largest code holds 2,953 (ISO/IEC 18004). */
const MOST_IN_CODE = 1200;

/** The district's shelf: switching it on and off, what waits to go there, and what lies there. */
@customElement('tn-shelf')
export class ShelfPanel extends LitElement {
  /** Absent where nothing is sealed: the page is not secure. */
  @property({ attribute: false }) door: (() => Promise<ShelfKeeper>) | undefined;
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) clock!: Clock;
  @property() back = '#logs';
  @state() private keeper: ShelfKeeper | undefined;
  /** A file that was chosen, and not switched on yet. */
  @state() private offered: ShelfFile | undefined;
  @state() private sounds: SoundChoice = 'never';
  @state() private said = '';
  #unwatch: () => void = () => undefined;

  static override styles = [baseStyles, shelfStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('door')) return;
    void this.door?.().then(
      (keeper) => {
        if (!this.isConnected) return;
        this.keeper = keeper;
        this.#unwatch = keeper.onChange(() => this.requestUpdate());
      },
      () => (this.said = 'This browser keeps nothing on this device (private window?), so no shelf can be set.'),
    );
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#unwatch();
  }

  override render() {
    return html`<main>
      <a href=${this.back}>Back to the list</a>
      <h1 tabindex="-1">The district’s shelf</h1>
      ${liveRegion('status', this.said, { look: 'said' })} ${this.#body()}
    </main>`;
  }

  #body() {
    if (this.door === undefined)
      return html`<p>This page seals no checks: it was not opened at a secure address (https).</p>`;
    const state = this.keeper?.state;
    if (state === undefined) return html`<p>Reading the settings.</p>`;
    if (state.kind === 'none')
      return html`${this.#about()} ${this.offered === undefined ? nothing : this.#offer(this.offered)}`;
    const { setting } = state;
    return html`${this.#state()}
    ${state.kind === 'on' ? html`<tn-shelf-list .keeper=${this.keeper} .store=${this.store} .clock=${this.clock}></tn-shelf-list>` : nothing}
    ${this.#setting(setting)}`;
  }

  #about() {
    return html`<section class="panel" aria-label="Shelf">
      <p>
        A shelf is a place of the district’s own, a bucket or a folder on a server, where sealed checks are collected.
        It is
        <b>off</b>: nothing leaves this device. A shelf file from the district says where it is.
      </p>
      <tn-shelf-take ${on({ 'shelf-file': (file) => (this.offered = file) })}></tn-shelf-take>
    </section>`;
  }

  #offer(file: ShelfFile) {
    const { address } = file.place;
    const host = unconfirmedHost(address, location.origin, localStorage);
    return html`<section class="panel offer" aria-label="A shelf is offered">
      <h2>${file.name}</h2>
      <p class="long">
        ${file.station === undefined ? 'Only to read: this file names no station.' : html`Station <b>${file.station}</b>.`}
        Address: <b>${address}</b>
      </p>
      ${file.keys.length === 0 ? nothing : html`<p>Brings ${file.keys.length} known keys: ${file.keys.map(({ name }) => name).join(', ')}.</p>`}
      ${whatLeaves()} ${this.#soundChoice(this.sounds, (sounds) => (this.sounds = sounds))}
      <div class="row">
        <button class="main" @click=${() => void this.#switchOn(file, host)}>
          ${host === undefined ? 'Switch on' : html`Allow ${host}, switch on, and load the page again`}
        </button>
        <button @click=${() => (this.offered = undefined)}>Do not</button>
      </div>
    </section>`;
  }

  #soundChoice(chosen: SoundChoice, choose: (sounds: SoundChoice) => void) {
    return html`<fieldset>
      <legend>Sounds of the callouts</legend>
      ${SOUNDS.map(
        ([value, label]) =>
          html`<label class="tick"
            ><input
              type="radio"
              name="sounds"
              .checked=${value === chosen}
              @change=${() => choose(value)}
            />${label}</label
          >`,
      )}
      <p class="quiet">Where a browser does not tell what network it is on, “by wifi or cable only” sends none.</p>
    </fieldset>`;
  }

  #state() {
    const state = this.keeper?.state;
    switch (state?.kind) {
      case 'off':
        return html`<section class="panel" aria-label="State">
          <p><b>Off.</b> Nothing leaves this device.</p>
          <button
            class="main"
            @click=${() => void this.#switchOn(state.setting.file, unconfirmedHost(state.setting.file.place.address, location.origin, localStorage))}
          >
            Switch on
          </button>
        </section>`;
      case 'unconfirmed':
        return html`<section class="panel" aria-label="State">
          <p class="long"><b>Nothing is sent:</b> this page may not talk to ${state.host}.</p>
          <button class="main" @click=${() => void this.#switchOn(state.setting.file, state.host)}>
            Allow ${state.host}, and load the page again
          </button>
        </section>`;
      case 'on':
        return this.#outbox(state.outbox, state.setting);
      case 'none':
      case undefined:
        return nothing;
    }
  }

  #outbox(outbox: Outbox | undefined, { file }: ShelfSetting) {
    const { trouble, refused = [] } = outbox ?? {};
    const line =
      file.station === undefined
        ? 'On, to read only.'
        : outbox === undefined
          ? 'This tab sends nothing yet; another tab of this browser may.'
          : waitLine(outbox);
    return html`<section class="panel" aria-label="State">
      ${liveRegion('status', html`<b>On.</b> ${line}`)} ${liveRegion('alert', trouble ?? '', { look: 'refused' })}
      ${
        refused.length === 0
          ? nothing
          : html`<p>The shelf does not take these; they stay here:</p>
              <ul>
                ${refused.map((each) => html`<li class="refused">${each}</li>`)}
              </ul>`
      }
      <div class="row">
        <button @click=${() => this.keeper?.hurry()}>Try now</button>
        <button @click=${() => void this.#again()}>Send all again, for a shelf that lost something</button>
        <button @click=${() => void this.#switchOff()}>Switch off</button>
      </div>
    </section>`;
  }

  #setting(setting: ShelfSetting) {
    const { file, sounds } = setting;
    const small = writeShelfFile({ ...file, keys: [] }, true);
    return html`<section class="panel" aria-label="Settings of the shelf">
      <h2>${file.name}</h2>
      <p class="long">
        ${file.station === undefined ? 'No station: only to read.' : `Station ${file.station}.`} ${file.place.address}
      </p>
      ${this.#soundChoice(sounds, (chosen) => void this.#set({ ...setting, sounds: chosen }, 'The choice is kept.'))}
      <details>
        <summary>What leaves this device</summary>
        ${whatLeaves()}
      </details>
      <details>
        <summary>Settings of the store</summary>
        <p>So that this page may use it, its settings need:</p>
        <pre>${corsSettings(file, location.origin)}</pre>
      </details>
      <details>
        <summary>Show the shelf file as a QR code</summary>
        <p>
          Whoever sees this code has the secret of the shelf. Known keys are not in it: they go by the list of keys.
        </p>
        ${
          small.length > MOST_IN_CODE
            ? html`<p>It is too long for one: give the file.</p>`
            : codeSquare(small, `QR code of the shelf file of ${file.name}`)
        }
      </details>
      <button @click=${() => void this.#remove(file)}>Remove the shelf file, with its secret</button>
    </section>`;
  }

  async #set(setting: ShelfSetting | undefined, said: string): Promise<void> {
    try {
      await this.keeper?.set(setting);
      this.said = said;
    } catch {
      this.said = 'Not kept: storage does not answer.';
    }
  }

  async #switchOn(file: ShelfFile, host: string | undefined): Promise<void> {
    const sounds = this.offered === undefined ? this.#soundsSet() : this.sounds;
    await this.#set({ file, on: true, sounds }, 'Switched on.');
    await this.#takeKeys(file);
    this.offered = undefined;
    if (host === undefined) return;
    // The policy of the page is made when it is loaded.
    confirmHost(host, localStorage);
    location.reload();
  }

  #soundsSet(): SoundChoice {
    const state = this.keeper?.state;
    return state === undefined || state.kind === 'none' ? 'never' : state.setting.sounds;
  }

  async #takeKeys(file: ShelfFile): Promise<void> {
    const packing = await this.store.packing();
    const others = file.keys.filter(({ key }) => !sameKey(key, packing.signer.publicKey));
    if (others.length > 0) await this.store.keys?.keep(withKeys(packing.known, others));
  }

  async #again(): Promise<void> {
    try {
      await this.keeper?.again();
      this.said = 'All goes again; what the shelf has is left as it is.';
    } catch {
      this.said = 'Not done: storage does not answer.';
    }
  }

  async #switchOff(): Promise<void> {
    const state = this.keeper?.state;
    if (state === undefined || state.kind === 'none') return;
    await this.#set({ ...state.setting, on: false }, 'Switched off. Nothing is sent any more.');
  }

  async #remove(file: ShelfFile): Promise<void> {
    await this.#set(undefined, 'The shelf file is removed.');
    const { origin } = new URL(file.place.address);
    if (origin === location.origin) return;
    withdrawHost(origin, localStorage);
    // Until then the page might still talk to it.
    location.reload();
  }
}

function waitLine({ waiting, went }: Outbox): string {
  const waits =
    waiting === 0
      ? 'Nothing waits.'
      : `${waiting} ${waiting === 1 ? 'check waits' : 'checks wait'} to go to the shelf.`;
  return `${waits} ${went} went since the page was opened.`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-shelf': ShelfPanel;
  }
}
