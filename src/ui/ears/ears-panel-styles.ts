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
  .pick.off {
    border-color: var(--hair);
    color: var(--quiet);
    cursor: default;
  }
  .pick input {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    opacity: 0;
    cursor: inherit;
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
