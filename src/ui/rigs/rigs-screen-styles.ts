import { css } from 'lit';

export const rigsScreenStyles = css`
  main {
    display: grid;
    gap: 0.9rem;
    padding: 1rem;
    max-width: 72rem;
    margin-inline: auto;
  }
  h1 {
    font-size: 1.5rem;
  }
  .cards {
    display: grid;
    gap: 1rem;
    grid-template-columns: repeat(auto-fill, minmax(min(20rem, 100%), 1fr));
    align-items: start;
  }
  article {
    display: grid;
    gap: 0.5rem;
    min-width: 0;
  }
  .top {
    justify-content: space-between;
  }
  .lamp {
    display: flex;
    gap: 0.6rem;
    align-items: center;
    font-weight: 700;
  }
  .lamp .mark {
    flex: none;
    width: 1.9rem;
    height: 1.9rem;
    display: grid;
    place-items: center;
    border: 2px solid currentColor;
    border-radius: 50%;
    font-weight: 900;
  }
  .defect {
    border-left: 0.4rem solid var(--fail);
    padding-left: 0.6rem;
    overflow-wrap: anywhere;
  }
  tn-trend-chart {
    border-top: 1px solid var(--hair);
    padding-block: 0.5rem;
  }
  dialog h2 {
    margin-bottom: 0.6rem;
  }
  a {
    color: inherit;
  }
`;
