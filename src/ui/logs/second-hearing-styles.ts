import { css } from 'lit';

export const secondHearingStyles = css`
  :host {
    display: grid;
    gap: 0.6rem;
    min-width: 0;
  }
  :host > * {
    min-width: 0;
  }
  progress {
    width: 100%;
    height: 1.2rem;
    accent-color: var(--accent);
  }
  .scroll {
    max-height: 24rem;
    overflow-y: auto;
  }
  th,
  td {
    overflow-wrap: anywhere;
  }
  td.number {
    font-variant-numeric: tabular-nums;
    white-space: nowrap;
  }
  tr:not(.same) td:first-child {
    border-left: 0.3rem solid var(--marginal);
    padding-left: 0.4rem;
  }
  .same b {
    font-weight: 400;
  }
  ul {
    margin: 0;
    padding-left: 1.2rem;
  }
  .refused {
    color: var(--fail);
    font-weight: 700;
    overflow-wrap: anywhere;
  }
`;
