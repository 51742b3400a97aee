import { LitElement, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { openPage } from '../shared/open-page.ts';
import { examStyles } from './exam-styles.ts';

const ROLES = ['candidate', 'examiner'] as const;

/** The end of an examination: both sign on the device, and the sheet is opened to be printed. What came of it stands there. */
@customElement('tn-exam-end')
export class ExamEnd extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property() check = '';
  @property() candidate = '';
  @state() private signed: readonly (typeof ROLES)[number][] = [];
  @state() private said = '';

  static override styles = [baseStyles, examStyles];

  override render() {
    return html`<header class="strip"><h1 tabindex="-1">The examination is over</h1></header>
      <main>
        <p>
          The sheet lists each required part: done, said, omitted or out of order, with its moment. The examiner
          decides.
        </p>
        ${ROLES.map((role) =>
          this.signed.includes(role)
            ? html`<p class="done">✓ Signed by the ${role}</p>`
            : html`<form @submit=${(event: SubmitEvent) => this.#submit(event, role)}>
                <label class="field"
                  >${role === 'candidate' ? 'Candidate' : 'Examiner'}
                  <input
                    name="name"
                    maxlength="60"
                    autocomplete="off"
                    required
                    .value=${role === 'candidate' ? this.candidate : ''}
                /></label>
                <button>Sign as the ${role}</button>
              </form>`,
        )}
        <p class="quiet">A signature is chained to the log with this device’s key and cannot be taken back.</p>
        ${this.said === '' ? nothing : html`<p class="refused" role="alert">${this.said}</p>`}
        <div class="foot">
          <button class="main" @click=${() => void this.#sheet()}>Open the sheet to print</button>
          <button @click=${() => sendUp(this, 'leave', `#logs/${this.check}`)}>The log: report and export</button>
          <button @click=${() => sendUp(this, 'leave', '#')}>Back to the start</button>
        </div>
      </main>`;
  }

  #submit(event: SubmitEvent, as: (typeof ROLES)[number]): void {
    event.preventDefault();
    const name = new FormData(event.target as HTMLFormElement).get('name');
    if (typeof name !== 'string' || name.trim() === '') this.said = 'Say who signs.';
    else void this.#sign(name.trim(), as);
  }

  async #sign(officer: string, as: (typeof ROLES)[number]): Promise<void> {
    try {
      // Reading the log seals it where that was not yet done.
      await this.store.log(this.check);
      await this.store.sign(this.check, { officer, as });
      this.signed = [...this.signed, as];
      this.said = '';
    } catch {
      this.said = 'Not signed: this log has no seal, or storage failed.';
    }
  }

  async #sheet(): Promise<void> {
    const { sheetOfKept } = await import('../../examining/sheet-of-log.ts');
    const sheet = await sheetOfKept(this.store, this.check);
    if (sheet.ok) openPage(sheet.value);
    else this.said = problemLine(sheet.problem);
  }

  protected override firstUpdated(): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-exam-end': ExamEnd;
  }
}
