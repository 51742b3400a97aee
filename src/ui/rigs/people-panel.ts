import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { keyWords } from '../../record/key-words.ts';
import { withKeys } from '../../record/known-keys.ts';
import { MOST_PIN } from '../../record/officer-key.ts';
import { MOST_NAME, PeopleBook, type KeptPerson } from '../../running/people-book.ts';
import type { Role } from '../../running/people.ts';
import type { SmallStore } from '../../running/settings.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { liveRegion } from '../shared/live-region.ts';

/** The people of the department: operators and officers, added and retired; each officer's PIN and key. */
@customElement('tn-people')
export class PeoplePanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) small!: SmallStore;
  /** ISO 8601. */
  @property({ attribute: false }) wall!: () => string;
  @state() private people: readonly KeptPerson[] = [];
  /** The six words of each officer's key, by name. */
  @state() private words: ReadonlyMap<string, string> = new Map();
  @state() private said = '';
  @state() private refused = '';
  @state() private making = '';
  #book: PeopleBook | undefined;

  static override styles = [
    baseStyles,
    css`
      main {
        display: grid;
        gap: 0.9rem;
        padding: 1rem;
        max-width: 50rem;
        margin-inline: auto;
      }
      main > *,
      section {
        min-width: 0;
      }
      section,
      form {
        display: grid;
        gap: 0.6rem;
      }
      ul {
        display: grid;
        gap: 0.6rem;
        margin: 0;
        padding: 0;
        list-style: none;
      }
      li {
        display: grid;
        gap: 0.4rem;
        padding-bottom: 0.6rem;
        border-bottom: 1px solid var(--hair);
        overflow-wrap: anywhere;
      }
      .top {
        justify-content: space-between;
      }
      .refused {
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('small') && !changed.has('wall')) return;
    this.#book = new PeopleBook(this.small, this.wall);
    void this.#read();
  }

  override render() {
    const here = this.people.filter(({ retired }) => retired === undefined);
    const gone = this.people.filter(({ retired }) => retired !== undefined);
    return html`<main>
      <a href="#rigs">Back to the rigs</a>
      <h1 tabindex="-1">People</h1>
      <p>
        Operators are offered when a check starts. An officer countersigns with a key of their own, which a PIN opens.
      </p>
      ${liveRegion('status', this.said)} ${liveRegion('alert', this.refused, { look: 'refused' })}
      ${this.#group('Officers', 'officer', here)} ${this.#group('Operators', 'operator', here)}
      <section class="panel" aria-label="Add somebody">
        <h2>Add somebody</h2>
        <form @submit=${this.#add}>
          <label class="field">Name <input name="name" required maxlength=${MOST_NAME} autocomplete="off" /></label>
          <label class="field"
            >What they do
            <select name="role">
              <option value="operator">Operator: checks rigs</option>
              <option value="officer">Officer: countersigns, too</option>
            </select>
          </label>
          <div class="row"><button type="submit" class="main">Add to the list</button></div>
        </form>
      </section>
      ${gone.length === 0 ? nothing : this.#retired(gone)} ${this.#proves()}
    </main>`;
  }

  #group(title: string, role: Role, here: readonly KeptPerson[]) {
    const some = here.filter((each) => each.role === role);
    return html`<section class="panel" aria-label=${title}>
      <h2>${title}</h2>
      ${
        some.length === 0
          ? html`<p class="quiet">Nobody.</p>`
          : html`<ul>
              ${some.map((each) => this.#person(each))}
            </ul>`
      }
    </section>`;
  }

  #person(person: KeptPerson) {
    const { name, role } = person;
    return html`<li>
      <div class="row top">
        <b>${name}</b>
        <button @click=${() => void this.#change(() => this.#book?.retire(name), `${name} is retired.`)}>
          Retire<span class="unseen"> ${name}</span>
        </button>
      </div>
      ${role === 'officer' ? this.#key(person) : nothing}
    </li>`;
  }

  #key({ name, key }: KeptPerson) {
    const words = this.words.get(name);
    return html`${
        key === undefined
          ? html`<p>No key on this device: cannot countersign here.</p>`
          : html`<p>
              Key made ${new Date(key.made).toLocaleDateString([], { dateStyle: 'medium' })}. Its six words, for other
              devices to compare: <b>${words}</b>
            </p>`
      }
      <details>
        <summary>${key === undefined ? 'Choose a PIN' : 'PIN forgotten'}<span class="unseen">, ${name}</span></summary>
        <form @submit=${(event: SubmitEvent) => void this.#makeKey(event, name)}>
          ${
            key === undefined
              ? nothing
              : html`<p>
                  Nobody can open the key without its PIN. A new key takes its place, and every signature with the new
                  one says so. What was signed before stays signed.
                </p>`
          }
          <label class="field"
            >New PIN, six digits or more
            <input name="pin" type="password" required maxlength=${MOST_PIN} autocomplete="new-password"
          /></label>
          <label class="field"
            >The same again
            <input name="again" type="password" required maxlength=${MOST_PIN} autocomplete="new-password"
          /></label>
          <div class="row">
            <button type="submit" ?disabled=${this.making !== ''}>
              ${this.making === name ? 'Making the key' : key === undefined ? 'Make the key' : 'Make a new key'}
            </button>
          </div>
        </form>
      </details>`;
  }

  #retired(gone: readonly KeptPerson[]) {
    return html`<section class="panel" aria-label="Retired">
      <h2>Retired</h2>
      <p class="quiet">No longer offered. What was checked or signed under a name stays in the record.</p>
      <ul>
        ${gone.map(
          ({ name, key }) =>
            html`<li>
              <b>${name}</b>
              <div class="row">
                <button @click=${() => void this.#change(() => this.#book?.bringBack(name), `${name} is back.`)}>
                  Bring back<span class="unseen"> ${name}</span>
                </button>
                ${
                  key === undefined
                    ? html`<button
                        @click=${() => void this.#change(() => this.#book?.remove(name), `${name} is out of the list.`)}
                      >
                        Remove<span class="unseen"> ${name}</span>
                      </button>`
                    : nothing
                }
              </div>
            </li>`,
        )}
      </ul>
    </section>`;
  }

  #proves() {
    return html`<details class="panel">
      <summary>What a PIN proves, and what not</summary>
      <ul>
        <li>A countersignature with a PIN was made by somebody who knew the PIN, on a device that held the key.</li>
        <li>
          Whoever holds this device can add a name and choose a PIN for it. Whose key it is, people compare by its six
          words.
        </li>
        <li>
          The key lies on this device, sealed by the PIN. Six digits stop a colleague; who copies the device’s storage
          and has days to guess is stopped by longer words only.
        </li>
        <li>On another device the officer chooses a PIN there, too: that key is another one, with other words.</li>
      </ul>
    </details>`;
  }

  async #read(): Promise<void> {
    const people = this.#book?.all ?? [];
    this.people = people;
    const words = new Map<string, string>();
    for (const { name, key } of people) if (key !== undefined) words.set(name, await keyWords(key.key));
    this.words = words;
  }

  async #change(change: () => void, said: string): Promise<void> {
    change();
    this.refused = '';
    this.said = said;
    await this.#read();
  }

  #add(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const data = new FormData(form);
    const added = this.#book?.add(textOf(data, 'name'), data.get('role') === 'officer' ? 'officer' : 'operator');
    if (added === undefined) return;
    this.refused = added.ok ? '' : problemLine(added.problem);
    if (!added.ok) return;
    form.reset();
    void this.#change(() => undefined, `${added.value.name} is in the list.`);
  }

  async #makeKey(event: SubmitEvent, name: string): Promise<void> {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const data = new FormData(form);
    const pin = textOf(data, 'pin');
    this.said = '';
    if (pin !== textOf(data, 'again')) {
      this.refused = 'The two PINs differ: nothing was changed.';
      return;
    }
    this.refused = '';
    this.making = name;
    const made = await this.#make(name, pin);
    this.making = '';
    this.refused = made;
    if (made !== '') return;
    form.reset();
    form.closest('details')?.removeAttribute('open');
    await this.#change(() => undefined, `${name} can countersign on this device.`);
  }

  /** What went wrong, or empty. The key is known to this device from then on, as the officer's. */
  async #make(name: string, pin: string): Promise<string> {
    const { keys } = this.store;
    if (this.#book === undefined || keys === undefined) return 'Keys are made only at a secure address (https).';
    const made = await this.#book.makeKey(name, pin);
    if (!made.ok) return problemLine(made.problem);
    try {
      await keys.keep(withKeys(await keys.known(), [{ name, key: made.value.key, officer: true }]));
      return '';
    } catch {
      return 'The key is made, but could not be noted as known: storage does not answer.';
    }
  }
}

function textOf(data: FormData, name: string): string {
  const value = data.get(name);
  return typeof value === 'string' ? value : '';
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-people': PeoplePanel;
  }
}
