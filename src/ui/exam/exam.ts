import { LitElement, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { StartEvent } from '../../check/event.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { CheckModel, LiveState } from '../../running/check-model.ts';
import './exam-end.ts';
import './exam-screen.ts';

/** An examination from its first callout to the signatures, in a file of its own: it comes with the first one. */
@customElement('tn-exam')
export class Exam extends LitElement {
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  @property({ attribute: false }) start!: StartEvent;
  @property({ attribute: false }) store!: ChainedStore;
  @property() check = '';

  override render() {
    const { start, store, check, model, live } = this;
    return model.finished === undefined
      ? html`<tn-exam-screen
          .model=${model}
          .live=${live}
          candidate=${start.operator}
          .plan=${start.plan}
        ></tn-exam-screen>`
      : html`<tn-exam-end .store=${store} check=${check} candidate=${start.operator}></tn-exam-end>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-exam': Exam;
  }
}
