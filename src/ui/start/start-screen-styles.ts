import { css } from 'lit';

export const startScreenStyles = css`
  .strip {
    display: flex;
    align-items: center;
    justify-content: space-between;
    flex-wrap: wrap;
    padding: 0.5rem 1rem;
    background: var(--strip);
    color: var(--on-strip);
  }
  .strip h1 {
    font-size: 1.5rem;
    letter-spacing: -0.01em;
  }
  .strip h1::before {
    content: '';
    display: inline-block;
    width: 0.28em;
    height: 0.9em;
    margin-right: 0.85em;
    margin-left: 0.1em;
    vertical-align: -0.05em;
    background: currentColor;
    transform: skewX(-18deg);
    box-shadow: 0.5em 0 0 -0.04em var(--hair);
    border-radius: 2px;
  }
  .gear {
    background: none;
    color: inherit;
    border-color: currentColor;
  }
  .gear:focus-visible {
    outline-color: var(--here);
  }
  main {
    display: grid;
    gap: 1rem;
    padding: 1rem;
    max-width: 72rem;
    margin-inline: auto;
  }
  .lead {
    font-size: 1.1rem;
    max-width: 40rem;
  }
  form {
    display: grid;
    gap: 0.9rem;
    /* The column beside it may be longer. */
    align-self: start;
  }
  .two {
    display: grid;
    gap: 0.9rem;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 13rem), 1fr));
  }
  .rig-row {
    display: flex;
    justify-content: space-between;
    align-items: center;
    border-bottom: 1px solid var(--hair);
  }
  .rig-row .tick {
    flex: 1;
  }
  .go {
    min-height: clamp(3.4rem, 9vh, 4.2rem);
    font-size: 1.4rem;
  }
  /* Below the button, which the keyboard so reaches as soon as before. */
  .exam {
    padding-top: 1.2rem;
  }
  /* On the first screen of a phone too, with what has to be so before. */
  .begin {
    position: sticky;
    bottom: 0;
    z-index: 1;
    display: grid;
    gap: 0.5rem;
    margin: 0 -0.9rem -0.9rem;
    padding: 0.5rem 0.9rem 0.9rem;
    border-radius: 0.75rem;
    background: var(--panel);
  }
  .resume {
    border-width: 3px;
    display: grid;
    gap: 0.6rem;
  }
  .aside {
    display: grid;
    gap: 1rem;
    align-content: start;
  }
  progress {
    width: 100%;
    height: 1.2rem;
    accent-color: var(--accent);
  }
  .notice {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
  }
  .head {
    justify-content: space-between;
    margin-bottom: 0.6rem;
  }
  dialog.rig h2 {
    margin-bottom: 0.6rem;
  }
  @media (min-width: 56rem) {
    main {
      grid-template-columns: minmax(0, 1.5fr) minmax(18rem, 1fr);
    }
    .lead,
    .notices,
    .resume,
    tn-past-checks {
      grid-column: 1 / -1;
    }
  }
`;
