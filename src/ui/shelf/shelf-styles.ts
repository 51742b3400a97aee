import { css } from 'lit';

export const shelfStyles = css`
  main {
    display: grid;
    gap: 0.9rem;
    padding: 1rem;
    max-width: 50rem;
    margin-inline: auto;
  }
  main > *,
  section > * {
    min-width: 0;
  }
  section,
  form {
    display: grid;
    gap: 0.6rem;
  }
  h3 {
    font-size: 1rem;
  }
  ul {
    margin: 0;
    padding-left: 1.2rem;
  }
  li {
    padding-block: 0.15rem;
  }
  .long,
  pre,
  li {
    overflow-wrap: anywhere;
  }
  pre {
    margin: 0;
    white-space: pre-wrap;
    padding: 0.6rem;
    border: var(--edge) solid var(--hair);
    border-radius: 0.4rem;
    background: var(--raised);
  }
  .offer {
    border-width: 3px;
    border-color: var(--accent);
  }
  .square {
    width: min(22rem, 100%);
  }
  .refused,
  .said {
    font-weight: 700;
    overflow-wrap: anywhere;
  }
  .refused {
    border-left: 0.4rem solid var(--fail);
    padding-left: 0.6rem;
  }
  video {
    width: min(22rem, 100%);
    border-radius: 0.5rem;
  }
  progress {
    width: 100%;
    height: 1.2rem;
    accent-color: var(--accent);
  }
  ul.rows {
    list-style: none;
    padding: 0;
  }
  .rows li {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.7rem;
    justify-content: space-between;
    align-items: center;
    padding-block: 0.4rem;
    border-bottom: 1px solid var(--hair);
  }
  .rows li > span {
    flex: 1 1 14rem;
    min-width: 0;
  }
`;
