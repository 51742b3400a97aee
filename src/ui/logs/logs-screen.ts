import { LitElement, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { Language } from '../check/language.ts';
import { baseStyles } from '../shared/base-styles.ts';

/** The record of all checks. */
@customElement('tn-logs-screen')
export class LogsScreen extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) language!: Language;
  @property({ attribute: false }) plan: Plan | undefined;
  /** Id of the check that is shown; empty for the list. */
  @property() check = '';

  static override styles = [baseStyles];

  override render() {
    return html`<main><h1 tabindex="-1">Logs</h1></main>`;
  }
}
