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
    overflow-x: auto;
    max-height: 24rem;
    overflow-y: auto;
  }
  table {
    width: 100%;
    border-collapse: collapse;
  }
  th,
  td {
    text-align: left;
    vertical-align: top;
    padding: 0.3rem 0.7rem 0.3rem 0;
    border-bottom: 1px solid var(--hair);
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
