import { LitElement, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { RigSettings } from '../../judging/result.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import { baseStyles } from '../shared/base-styles.ts';

/** The rigs of this device. */
@customElement('tn-rigs-screen')
export class RigsScreen extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) rigs: readonly RigSettings[] = [];

  static override styles = [baseStyles];

  override render() {
    return html`<main><h1 tabindex="-1">Rigs</h1></main>`;
  }
}
