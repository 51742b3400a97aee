import { css } from 'lit';

/** Shared by every element: controls big enough for a gloved thumb, one focus ring, no motion for those who ask for none. */
export const baseStyles = css`
  :host {
    display: block;
    box-sizing: border-box;
  }
  *,
  *::before,
  *::after {
    /* Not inherited: what is folded into details would not get it. */
    box-sizing: border-box;
  }
  :host([hidden]),
  [hidden] {
    display: none !important;
  }
  h1,
  h2,
  h3,
  p {
    margin: 0;
  }
  h1,
  h2,
  h3,
  b {
    /* At twice the size a word may be wider than a phone. */
    overflow-wrap: anywhere;
    hyphens: auto;
  }
  h2 {
    font-size: 1.1rem;
    letter-spacing: 0.01em;
  }
  button,
  select,
  input,
  textarea {
    font: inherit;
    color: inherit;
  }
  a {
    /* The browser's own blue would spoil the red theme. */
    color: var(--accent);
  }
  button {
    min-height: 3rem;
    min-width: 3rem;
    padding: 0.4rem 0.9rem;
    border: var(--edge) solid var(--rule);
    border-radius: 0.5rem;
    background: var(--raised);
    font-weight: 600;
    cursor: pointer;
    touch-action: manipulation;
  }
  button.main {
    background: var(--accent);
    color: var(--on-accent);
    border-color: var(--accent);
  }
  button.plain {
    background: none;
    border-color: transparent;
    text-decoration: underline;
    text-underline-offset: 0.2em;
    font-weight: 500;
  }
  button[aria-pressed='true'] {
    background: var(--ink);
    color: var(--ground);
  }
  button:disabled,
  button[aria-disabled='true'] {
    border-style: dashed;
    color: var(--quiet);
    cursor: default;
  }
  :focus-visible {
    outline: 3px solid var(--accent);
    outline-offset: 2px;
  }
  h1:focus,
  h2:focus {
    outline: none;
  }
  select,
  input:not([type='checkbox'], [type='radio'], [type='range']),
  textarea {
    min-height: 3rem;
    width: 100%;
    padding: 0.3rem 0.6rem;
    border: var(--edge) solid var(--hair);
    border-radius: 0.4rem;
    background: var(--raised);
  }
  input[type='checkbox'],
  input[type='radio'] {
    width: 1.4rem;
    height: 1.4rem;
    accent-color: var(--accent);
    margin: 0;
    flex: none;
  }
  input[type='range'] {
    width: 100%;
    min-height: 2rem;
    accent-color: var(--accent);
  }
  main,
  form {
    /* A column is as wide as the screen allows, not as its longest word wants. */
    grid-template-columns: minmax(0, 1fr);
  }
  label.field {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 0.2rem;
    font-weight: 600;
  }
  label.tick {
    display: flex;
    align-items: center;
    gap: 0.6rem;
    min-height: 2.75rem;
  }
  fieldset {
    border: 0;
    margin: 0;
    padding: 0;
    min-width: 0;
  }
  legend {
    padding: 0 0.5rem 0 0;
    font-weight: 600;
  }
  .quiet {
    color: var(--quiet);
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.5rem;
    align-items: center;
  }
  .panel {
    background: var(--panel);
    border: var(--edge) solid var(--rule);
    border-radius: 0.75rem;
    padding: 0.9rem;
  }
  .caution {
    background: var(--caution-ground);
    color: var(--caution-ink);
    border-left: 0.4rem solid currentColor;
    border-radius: 0.3rem;
    padding: 0.5rem 0.7rem;
  }
  .caution b::before {
    content: '! ';
    font-weight: 900;
  }
  .unseen {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  dialog {
    width: min(34rem, calc(100vw - 1.5rem));
    max-height: calc(100dvh - 1.5rem);
    border: 2px solid var(--rule);
    border-radius: 0.75rem;
    background: var(--ground);
    color: var(--ink);
    padding: 1rem;
  }
  dialog::backdrop {
    background: rgb(0 0 0 / 60%);
  }
  summary {
    min-height: 2.75rem;
    display: flex;
    align-items: center;
    cursor: pointer;
    text-decoration: underline;
    text-underline-offset: 0.2em;
  }
  @media (prefers-reduced-motion: reduce) {
    * {
      transition: none !important;
      animation: none !important;
    }
  }
`;
