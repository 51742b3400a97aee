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
    /* What has the focus is not hidden behind the buttons at the foot. */
    scroll-padding-block: 1rem 6rem;
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
