import { css } from 'lit';

export const keysPanelStyles = css`
  main {
    display: grid;
    gap: 0.9rem;
    padding: 1rem;
    max-width: 50rem;
    margin-inline: auto;
  }
  main > * {
    min-width: 0;
  }
  section {
    display: grid;
    gap: 0.6rem;
  }
  ul {
    margin: 0;
    padding: 0;
    list-style: none;
  }
  li {
    display: flex;
    gap: 0.7rem;
    justify-content: space-between;
    align-items: center;
    padding-block: 0.4rem;
    border-bottom: 1px solid var(--hair);
    overflow-wrap: anywhere;
  }
  details li {
    display: list-item;
    border: 0;
  }
  details ul {
    list-style: disc;
    padding-left: 1.2rem;
  }
  .words {
    font-size: 1.3rem;
    font-weight: 800;
    overflow-wrap: anywhere;
  }
  .offer {
    border-width: 3px;
    border-color: var(--accent);
  }
  .square {
    width: min(18rem, 100%);
  }
  .said,
  .refused {
    font-weight: 700;
  }
  progress {
    width: 100%;
    height: 1.2rem;
    accent-color: var(--accent);
  }
`;
