import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { PLACES } from './places.ts';

/** The way between the screens; not shown while a check runs. */
@customElement('tn-places')
export class PlacesBar extends LitElement {
  /** Name of the screen that is shown. */
  @property() here = '';

  static override styles = [
    baseStyles,
    css`
      nav {
        display: flex;
        flex-wrap: wrap;
        background: var(--strip);
        color: var(--on-strip);
        padding-inline: 0.4rem;
      }
      a {
        display: grid;
        place-items: center;
        min-height: 3rem;
        min-width: min(4.4rem, 23vw);
        padding: 0.3rem min(0.8rem, 3vw);
        color: inherit;
        font-weight: 700;
        text-decoration: none;
        border-bottom: 0.3rem solid transparent;
      }
      a:hover {
        text-decoration: underline;
      }
      a[aria-current] {
        border-bottom-color: var(--here);
      }
      a:focus-visible {
        outline-color: var(--here);
        outline-offset: -3px;
      }
    `,
  ];

  override render() {
    return html`<nav aria-label="Screens">
      ${PLACES.map(
        ({ name, title, href }) =>
          html`<a href=${href} aria-current=${name === this.here ? 'page' : nothing}>${title}</a>`,
      )}
    </nav>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-places': PlacesBar;
  }
}
