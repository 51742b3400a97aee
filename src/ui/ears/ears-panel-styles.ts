import { css } from 'lit';

export const earsPanelStyles = css`
  section,
  form,
  .model {
    display: grid;
    gap: 0.6rem;
  }
  h3 {
    font-size: 1rem;
  }
  .model {
    border-top: 1px solid var(--hair);
    padding-top: 0.6rem;
    gap: 0.3rem;
  }
  .long {
    overflow-wrap: anywhere;
  }
  .sum {
    font-family: ui-monospace, monospace;
    font-size: 0.85rem;
  }
  progress {
    width: 100%;
    height: 1.2rem;
    accent-color: var(--accent);
  }
  .refused {
    border-left: 0.4rem solid var(--fail);
    padding-left: 0.6rem;
    overflow-wrap: anywhere;
  }
  .refused::before {
    content: '✕ ';
    color: var(--fail);
    font-weight: 800;
  }
  .done {
    overflow-wrap: anywhere;
  }
  .done::before {
    content: '✓ ';
    color: var(--pass);
    font-weight: 800;
  }
`;
