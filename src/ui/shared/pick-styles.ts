import { css } from 'lit';

/** A label that looks like a button and opens the browser's own file chooser: `<label class="pick">…<input type="file" /></label>`. */
export const pickStyles = css`
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
`;
