import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ShelfKeeper, ShelfState } from '../../shelf/keeper.ts';
import { baseStyles } from '../shared/base-styles.ts';

/** One line on Logs: how the shelf stands, and the way to it. Nothing is said of it where nothing is sealed. */
@customElement('tn-shelf-line')
export class ShelfLine extends LitElement {
  @property({ attribute: false }) door: (() => Promise<ShelfKeeper>) | undefined;
  @state() private keeper: ShelfKeeper | undefined;
  #unwatch: () => void = () => undefined;

  static override styles = [baseStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('door')) return;
    void this.door?.().then(
      (keeper) => {
        if (!this.isConnected) return;
        this.keeper = keeper;
        this.#unwatch = keeper.onChange(() => this.requestUpdate());
      },
      // The panel says why there is none.
      () => undefined,
    );
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#unwatch();
  }

  override render() {
    if (this.keeper === undefined) return nothing;
    return html`<p><a href="#logs/shelf">The district’s shelf: ${standing(this.keeper.state)}</a></p>`;
  }
}

function standing(state: ShelfState): string {
  switch (state.kind) {
    case 'none':
    case 'off':
      return 'off, nothing leaves this device';
    case 'unconfirmed':
      return 'its host is not allowed yet, so nothing is sent';
    case 'on': {
      if (state.setting.file.station === undefined) return 'on, to read';
      // It has only begun, or another tab sends.
      if (state.outbox === undefined) return 'on';
      const { waiting, trouble } = state.outbox;
      const waits = waiting === 0 ? 'nothing waits' : `${waiting} ${waiting === 1 ? 'check waits' : 'checks wait'}`;
      return `on, ${waits}${trouble === undefined ? '' : `. ${trouble}`}`;
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-shelf-line': ShelfLine;
  }
}
