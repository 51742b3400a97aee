import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { AirRig } from '../../airsystem/rig.ts';
import type { HandsNow, Movement } from '../../rehearsal/hands.ts';
import { APPLIED_PSI, PEDAL_DOWN_PSI } from '../../rehearsal/hands.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { CabControl } from './cab-keys.ts';
import { CAB_KEYS, movementOf } from './cab-keys.ts';
import { sendUp } from '../shared/events.ts';

function differs(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) !== JSON.stringify(b);
}

/** The controls of the simulated cab, as the rig is fitted. Each shows how it stands, in words. */
@customElement('tn-cab-controls')
export class CabControls extends LitElement {
  /** Given anew with every picture of the needles, and seldom another. */
  @property({ attribute: false, hasChanged: differs }) hands!: HandsNow;
  @property({ attribute: false }) fitted!: AirRig['fitted'];
  @property({ type: Boolean }) parkingOut = true;
  /** Whether the single keys work, and so are shown. */
  @property({ type: Boolean }) keys = true;
  /** The lever of the pedal is shown, where there is no room for it at all times. */
  @state() private lever = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        container-type: inline-size;
      }
      .all {
        display: grid;
        gap: 0.5rem;
      }
      .switches,
      .pedals {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr));
        gap: 0.4rem;
      }
      button {
        position: relative;
        display: grid;
        gap: 0.1rem;
        justify-items: center;
        align-content: center;
        min-height: 3.4rem;
        padding: 0.25rem 0.2rem;
        line-height: 1.15;
      }
      .name {
        font-weight: 500;
        font-size: 0.9rem;
      }
      .stands {
        font-weight: 800;
      }
      kbd {
        position: absolute;
        top: 0.15rem;
        right: 0.25rem;
        font: inherit;
        font-size: 0.75rem;
        font-weight: 500;
      }
      .tread {
        touch-action: none;
        user-select: none;
        border-width: 3px;
      }
      .travel {
        display: grid;
        grid-template-columns: auto 1fr 4.4rem;
        gap: 0.6rem;
        align-items: center;
        font-weight: 600;
      }
      .travel output {
        text-align: right;
        font-variant-numeric: tabular-nums;
      }
      .lever {
        display: none;
      }
      @media (hover: none) {
        kbd {
          display: none;
        }
      }
      @container (max-width: 26rem) {
        kbd {
          display: none;
        }
      }
      /* A strip of short words, so that the controls and what is called for are in sight together. */
      @media (width < 60rem) {
        .all {
          --small: max(12px, min(0.8rem, 0.82rem / var(--text-scale, 1)), 0.6rem);
          font-size: var(--small);
          grid-template-columns: repeat(auto-fit, minmax(4.6em, 1fr));
          gap: 4px;
        }
        .switches,
        .pedals {
          display: contents;
        }
        button {
          min-height: 48px;
          padding: 0;
          line-height: 1.2;
        }
        .name {
          font-size: inherit;
        }
        .rest {
          position: absolute;
          clip-path: inset(50%);
          width: 1px;
          overflow: hidden;
          white-space: nowrap;
        }
        .lever {
          display: grid;
        }
        .travel {
          display: none;
          grid-column: 1 / -1;
          font-size: 1rem;
        }
        .travel.shown {
          display: grid;
        }
        kbd {
          display: none;
        }
      }
    `,
  ];

  override render() {
    const { controls, fanning } = this.hands;
    const running = controls.engine && controls.ignition;
    const pedal = Math.round(controls.pedalPsi);
    return html`<div class="all" role="group" aria-label="Cab controls">
      <div class="switches">
        ${this.#switch('key', 'Key', controls.ignition ? 'On' : 'Off', controls.ignition)}
        ${this.#switch('engine', 'Engine', running ? 'Running' : 'Stopped', running)}
        ${this.#switch('parking', html`Parking<span class="rest"> valve</span>`, this.parkingOut ? html`Out<span class="rest">: set</span>` : html`In<span class="rest">: released</span>`, !this.parkingOut)}
        ${this.fitted.fastIdle ? this.#switch('fast-idle', 'Fast idle', controls.fastIdle ? 'On' : 'Off', controls.fastIdle) : nothing}
        ${this.#switch('selector', 'Selector', controls.drive ? 'Drive' : 'Neutral', controls.drive)}
        ${
          this.fitted.handValve
            ? this.#switch(
                'hand-valve',
                html`Hand<span class="rest"> valve</span>`,
                controls.handValvePsi > 0 ? 'Applied' : 'Off',
                controls.handValvePsi > 0,
              )
            : nothing
        }
      </div>
      <div class="pedals" role="group" aria-label="Service pedal">
        <button
          class="tread"
          @pointerdown=${(event: PointerEvent) => this.#tread(event)}
          @pointerup=${() => this.#move({ set: { pedalPsi: 0 } })}
          @pointercancel=${() => this.#move({ set: { pedalPsi: 0 } })}
          @contextmenu=${(event: Event) => event.preventDefault()}
          @keydown=${(event: KeyboardEvent) => this.#treadKey(event, true)}
          @keyup=${(event: KeyboardEvent) => this.#treadKey(event, false)}
        >
          <span class="name">Hold<span class="rest"> to tread</span></span>
          <span class="stands">Pedal</span>${this.#key('tread')}
        </button>
        ${this.#switch('fan', 'Pedal', fanning ? 'Fanning' : 'Fan', fanning)}
        ${this.#switch('steady', 'Pedal', pedal > 0 && !fanning ? 'Let up' : html`Steady<span class="rest"> ${APPLIED_PSI}</span>`, pedal > 0 && !fanning)}
      </div>
      <button class="lever" aria-expanded=${this.lever} @click=${() => (this.lever = !this.lever)}>
        <span class="name">Lever</span> <span class="stands">${pedal} psi</span>
      </button>
      <label class="travel ${this.lever ? 'shown' : ''}"
        >Pedal
        <input
          type="range"
          min="0"
          max=${PEDAL_DOWN_PSI}
          step="5"
          .value=${String(pedal)}
          aria-valuetext="${pedal} psi"
          @input=${(event: Event) => this.#move({ set: { pedalPsi: Number((event.target as HTMLInputElement).value) } })}
        />
        <output>${pedal} psi</output>
      </label>
    </div>`;
  }

  #switch(control: CabControl, name: unknown, stands: unknown, pressed: boolean) {
    return html`<button
      data-control=${control}
      aria-pressed=${pressed}
      @click=${() => this.#move(movementOf(control, this.hands.controls, { parkingOut: this.parkingOut, fanning: this.hands.fanning }))}
    >
      <span class="name">${name}</span> <span class="stands">${stands}</span>${this.#key(control)}
    </button>`;
  }

  #key(control: CabControl) {
    if (!this.keys) return nothing;
    return html`<kbd aria-hidden="true">${CAB_KEYS.find((each) => each.control === control)?.key}</kbd>`;
  }

  #tread(event: PointerEvent): void {
    event.preventDefault();
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#move({ set: { pedalPsi: PEDAL_DOWN_PSI } });
  }

  #treadKey(event: KeyboardEvent, down: boolean): void {
    if (event.key !== 'Enter' && event.code !== 'Space') return;
    event.preventDefault();
    event.stopPropagation();
    if (!event.repeat) this.#move({ set: { pedalPsi: down ? PEDAL_DOWN_PSI : 0 } });
  }

  #move(movement: Movement): void {
    sendUp(this, 'movement', movement);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-cab-controls': CabControls;
  }
}
