import { css } from 'lit';

export const editorStyles = css`
  :host {
    display: grid;
    gap: 0.9rem;
  }
  h3 {
    font-size: 1rem;
  }
  .entry {
    display: grid;
    gap: 0.2rem;
    align-content: start;
  }
  .entry label {
    font-weight: 600;
  }
  .entry .unit {
    font-weight: 400;
    color: var(--quiet);
  }
  .entry.number input {
    max-width: 9rem;
    font-variant-numeric: tabular-nums;
  }
  textarea {
    resize: vertical;
  }
  input[aria-invalid='true'],
  textarea[aria-invalid='true'] {
    border-color: var(--fail);
    border-style: dashed;
  }
  .why-not {
    color: var(--fail);
    font-weight: 700;
  }
  .why-not::before {
    content: '✕ ';
  }
  .pair {
    display: grid;
    gap: 0.6rem 0.9rem;
    grid-template-columns: repeat(auto-fit, minmax(min(8.5rem, 100%), 1fr));
  }
  .more {
    display: grid;
    gap: 0.7rem;
    padding-bottom: 0.6rem;
  }
  .remark {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
  }
  .foot {
    position: sticky;
    bottom: -1rem;
    margin: 0 -1rem -1rem;
    padding: 0.7rem 1rem;
    background: var(--ground);
    border-top: var(--edge) solid var(--rule);
  }
`;
