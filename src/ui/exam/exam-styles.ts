import { css } from 'lit';

/** What the screens of an examination have alike. */
export const examStyles = css`
  .strip {
    display: flex;
    flex-wrap: wrap;
    justify-content: space-between;
    align-items: baseline;
    gap: 0 1rem;
    padding: 0.6rem 1rem;
    border-bottom: 2px solid var(--rule);
  }
  h1 {
    flex: 0 0 auto;
    max-width: 100%;
    font-size: 1.4rem;
  }
  .clock {
    font-size: 1.8rem;
    font-weight: 700;
    font-variant-numeric: tabular-nums;
  }
  main {
    display: grid;
    gap: 0.9rem;
    padding: 1rem;
    max-width: 52rem;
    margin-inline: auto;
  }
  main > * {
    min-width: 0;
  }
  .who {
    font-size: 1.2rem;
  }
  .heard {
    overflow-wrap: anywhere;
    min-height: 3rem;
  }
  form {
    display: flex;
    flex-wrap: wrap;
    gap: 0.6rem;
    align-items: end;
  }
  form .field {
    flex: 1 1 12rem;
  }
  ul {
    list-style: none;
    margin: 0.4rem 0 0;
    padding: 0;
  }
  li {
    overflow-wrap: anywhere;
    padding-block: 0.25rem;
  }
  .limits li {
    display: grid;
    grid-template-columns: minmax(8rem, 1fr) auto auto;
    gap: 0.5rem;
    align-items: center;
    border-bottom: 1px solid var(--hair);
  }
  .parts li {
    display: grid;
    grid-template-columns: minmax(8rem, 1fr) auto auto auto;
    gap: 0.5rem;
    align-items: center;
    border-bottom: 1px solid var(--hair);
  }
  summary {
    min-height: 3rem;
    font-weight: 700;
    cursor: pointer;
  }
  [aria-pressed='true'] {
    border-width: 3px;
    font-weight: 700;
  }
  .foot {
    display: flex;
    flex-wrap: wrap;
    gap: 0.6rem;
    align-items: center;
  }
  .done {
    color: var(--pass);
    font-weight: 700;
  }
  .refused {
    color: var(--fail);
    font-weight: 700;
  }
  @media (max-width: 26rem) {
    .limits li {
      grid-template-columns: 1fr 1fr;
    }
    .parts li {
      grid-template-columns: 1fr 1fr 1fr;
    }
    .limits span,
    .parts span {
      grid-column: 1 / -1;
    }
  }
`;
