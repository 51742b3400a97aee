import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore, OfficerWords } from '../../record/chained-store.ts';
import { isOfficerEvent, type LogFile } from '../../record/log.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';

/** The name that was signed with last on this page, offered again. */
let lastOfficer = '';

/** What officers said of a check, and a form to add a remark, a note of repair, or a countersignature. Sends `signed`. */
@customElement('tn-officer-panel')
export class OfficerPanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) log!: LogFile;
  /** Steps that failed: id and title. */
  @property({ attribute: false }) failed: readonly { readonly id: string; readonly title: string }[] = [];
  @state() private said = '';

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
                    <span class="quiet">${new Date(event.wall).toLocaleString()}</span>
                    ${event.type === 'remark' ? html`<br />${event.text}` : nothing}
                  </li>`,
              )}
            </ul>`
      }
      <form @submit=${this.#submit}>
        <label class="field"
          >Officer <input name="officer" required maxlength="60" autocomplete="name" .value=${lastOfficer}
        /></label>
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
          <button type="submit" value="remark">Add the remark</button>
          <button type="submit" value="countersign" class="main">Countersign</button>
        </div>
        <p class="quiet">Both are signed with this device’s key, chained to the log, and cannot be taken back.</p>
        <p role="status" class=${this.said === '' ? 'unseen' : 'refused'}>${this.said}</p>
      </form>`;
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
    lastOfficer = words.officer;
    try {
      await this.store.sign(this.log.header.check, words);
    } catch {
      this.said = 'Not signed: this log has no seal, or storage failed.';
      return;
    }
    this.said = '';
    form.reset();
    sendUp(this, 'signed');
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-officer-panel': OfficerPanel;
  }
}
