import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore, OfficerWords } from '../../record/chained-store.ts';
import { isOfficerEvent, type LogFile } from '../../record/log.ts';
import { MOST_PIN, type OfficerKey } from '../../record/officer-key.ts';
import { PeopleBook, type KeptPerson } from '../../running/people-book.ts';
import type { SmallStore } from '../../running/settings.ts';
import { bad, good, problemLine, type Outcome } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** The name that was signed with last on this page, offered again. */
let lastOfficer = '';

/** What officers said of a check, and a form to add a remark, a note of repair, or a countersignature. Sends `signed`. */
@customElement('tn-officer-panel')
export class OfficerPanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) log!: LogFile;
  /** Steps that failed: id and title. */
  @property({ attribute: false }) failed: readonly { readonly id: string; readonly title: string }[] = [];
  /** Where the people of this device are kept. */
  @property({ attribute: false }) small!: SmallStore;
  /** ISO 8601. */
  @property({ attribute: false }) wall!: () => string;
  @state() private said = '';
  @state() private officer = lastOfficer;
  @state() private signing = false;
  #book: PeopleBook | undefined;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.6rem;
      }
      ul {
        margin: 0 0 0.6rem;
        padding: 0;
        list-style: none;
      }
      li {
        border-left: 0.3rem solid var(--accent);
        padding: 0.2rem 0.6rem;
        margin-bottom: 0.4rem;
        overflow-wrap: anywhere;
      }
      .refused {
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('small') || changed.has('wall')) this.#book = new PeopleBook(this.small, this.wall);
  }

  override render() {
    const events = this.log.entries.map(({ event }) => event).filter(isOfficerEvent);
    return html`${
        events.length === 0
          ? html`<p class="quiet">Nobody has countersigned this check.</p>`
          : html`<ul>
              ${events.map(
                (event) =>
                  html`<li>
                    <b>${event.officer}</b>
                    ${event.type === 'countersigned' ? 'countersigned' : event.repair === undefined ? 'remarked' : `noted a repair (${this.#title(event.repair)})`}
                    ${event.own === undefined ? html`<b>(name only)</b>` : nothing}
                    <span class="quiet">${new Date(event.wall).toLocaleString()}</span>
                    ${event.type === 'remark' ? html`<br />${event.text}` : nothing}
                  </li>`,
              )}
            </ul>`
      }
      <form @submit=${this.#submit}>
        <label class="field"
          >Who signs
          <input
            name="officer"
            required
            maxlength="60"
            list="officers"
            autocomplete="off"
            .value=${lastOfficer}
            @input=${(event: Event) => (this.officer = (event.target as HTMLInputElement).value.trim())}
        /></label>
        <datalist id="officers">${this.#officers().map(({ name }) => html`<option value=${name}></option>`)}</datalist>
        ${this.#pin()}
        <label class="field">Remark <textarea name="text" rows="2" maxlength="2000"></textarea></label>
        ${
          this.failed.length === 0
            ? nothing
            : html`<label class="field"
                >The remark is
                <select name="repair">
                  <option value="">a remark only</option>
                  ${this.failed.map(({ id, title }) => html`<option value=${id}>the note of a repair: ${title}</option>`)}
                </select>
              </label>`
        }
        <div class="row">
          <button type="submit" value="remark" ?disabled=${this.signing}>Add the remark</button>
          <button type="submit" value="countersign" class="main" ?disabled=${this.signing}>Countersign</button>
        </div>
        <p class="quiet">
          Both are signed with this device’s key, chained to the log, and cannot be taken back. A countersignature is
          signed with the officer’s own key, too; a remark only where its writer has one.
        </p>
        ${liveRegion('alert', this.said, { look: 'refused' })}
      </form>`;
  }

  #officers(): readonly KeptPerson[] {
    return this.#book?.all.filter(({ role, retired }) => role === 'officer' && retired === undefined) ?? [];
  }

  /** The officer whose name stands in the field; undefined when nobody of the list has it. */
  #chosen(): KeptPerson | undefined {
    return this.#officers().find(({ name }) => name === this.officer);
  }

  #pin() {
    const chosen = this.#chosen();
    if (chosen?.key !== undefined)
      return html`<label class="field"
        >PIN of ${chosen.name} <input name="pin" type="password" maxlength=${MOST_PIN} autocomplete="off"
      /></label>`;
    return html`<p class="quiet">
      ${chosen === undefined ? 'To countersign, choose an officer of the list.' : `${chosen.name} has no key on this device: choose a PIN first.`}
      <a href="#rigs/people">People</a>
    </p>`;
  }

  #title(step: string): string {
    return this.failed.find(({ id }) => id === step)?.title ?? step;
  }

  #submit(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const data = new FormData(form);
    const value = (name: string): string => {
      const found = data.get(name);
      return typeof found === 'string' ? found.trim() : '';
    };
    const officer = value('officer');
    const text = value('text');
    const remark = event.submitter?.getAttribute('value') === 'remark';
    if (officer === '') this.said = 'Say who signs.';
    else if (remark && text === '') this.said = 'Write the remark first.';
    else if (!remark && text !== '') this.said = 'Add the remark first, or empty it: a countersignature has no text.';
    else
      void this.#sign(
        form,
        remark ? { officer, text, ...(value('repair') === '' ? {} : { repair: value('repair') }) } : { officer },
      );
  }

  async #sign(form: HTMLFormElement, words: OfficerWords): Promise<void> {
    this.signing = true;
    try {
      const own = await this.#ownKey(form, words);
      this.said = own.ok ? '' : problemLine(own.problem);
      if (!own.ok) return;
      await this.store.sign(this.log.header.check, {
        ...words,
        ...(own.value === undefined ? {} : { own: own.value }),
      });
    } catch {
      this.said = 'Not signed: this log has no seal, or storage failed.';
      return;
    } finally {
      this.signing = false;
    }
    this.officer = lastOfficer = words.officer;
    for (const field of form.querySelectorAll<HTMLInputElement>('[name=text], [name=repair], [name=pin]'))
      field.value = '';
    sendUp(this, 'signed');
  }

  /** The key that the PIN opens. A name that has a key signs with it; only a remark goes without one. */
  async #ownKey(form: HTMLFormElement, { officer, text }: OfficerWords): Promise<Outcome<OfficerKey | undefined>> {
    const book = this.#book;
    const listed = this.#officers().find(({ name }) => name === officer);
    if (book === undefined || (text !== undefined && listed?.key === undefined)) return good(undefined);
    const pin = new FormData(form).get('pin');
    if (listed?.key !== undefined && (typeof pin !== 'string' || pin === ''))
      return bad(`Give the PIN of ${listed.name}.`);
    return book.openKey(officer, typeof pin === 'string' ? pin : '');
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-officer-panel': OfficerPanel;
  }
}
