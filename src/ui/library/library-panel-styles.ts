import { css } from 'lit';

export const libraryPanelStyles = css`
  section {
    display: grid;
    gap: 0.7rem;
  }
  section.over {
    outline: 3px dashed var(--accent);
    outline-offset: 0.4rem;
  }
  dialog {
    width: min(46rem, calc(100vw - 1rem));
  }
  dialog h2 {
    margin-bottom: 0.8rem;
  }
  h3 {
    font-size: 1rem;
  }
  .shelf {
    display: grid;
    gap: 0.4rem;
    border-top: 1px solid var(--hair);
    padding-top: 0.6rem;
  }
  .pick {
    position: relative;
    display: inline-grid;
    place-items: center;
    justify-self: start;
    min-height: 3rem;
    padding: 0.4rem 0.9rem;
    border: var(--edge) dashed var(--rule);
    border-radius: 0.5rem;
    font-weight: 600;
    cursor: pointer;
  }
  .pick:focus-within {
    outline: 3px solid var(--accent);
    outline-offset: 2px;
  }
  .pick input {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    opacity: 0;
    cursor: pointer;
  }
  .refused {
    border-left: 0.4rem solid var(--fail);
    padding-left: 0.6rem;
    overflow-wrap: anywhere;
  }
  .refused::before {
    content: '✕ Not imported. ';
    color: var(--fail);
    font-weight: 800;
  }
  .done::before {
    content: '✓ ';
    color: var(--pass);
    font-weight: 800;
  }
  .unusable {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
    display: grid;
    gap: 0.4rem;
    justify-items: start;
    overflow-wrap: anywhere;
  }
`;
