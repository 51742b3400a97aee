import { css } from 'lit';

export const walkRunStyles = css`
  .strip {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.8rem;
    padding: 0.5rem 1rem;
    background: var(--strip);
    color: var(--on-strip);
  }
  .at {
    margin-inline-start: auto;
  }
  main {
    display: grid;
    gap: 0.7rem;
    padding: 0.7rem 1rem 1rem;
    max-width: 72rem;
    margin-inline: auto;
  }
  h1 {
    font-size: 1.4rem;
  }
  .title {
    font-weight: 700;
    color: var(--quiet);
  }
  .picture,
  .answer {
    display: grid;
    gap: 0.6rem;
    align-content: start;
    min-width: 0;
  }
  .two {
    display: grid;
    gap: 0.5rem;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 9rem), 1fr));
  }
  .big {
    min-height: 3.6rem;
    font-size: 1.1rem;
  }
  .ways {
    display: grid;
    gap: 0.6rem;
    border-left: 0.4rem solid var(--accent);
    padding-left: 0.7rem;
  }
  .ways fieldset {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 10rem), 1fr));
    gap: 0 0.6rem;
  }
  legend,
  .ways fieldset .field {
    grid-column: 1 / -1;
  }
  .called {
    border: var(--edge) solid var(--rule);
    border-radius: 0.4rem;
    padding: 0.3rem 0.6rem;
  }
  .complaint {
    border-left: 0.4rem solid var(--fail);
    padding-left: 0.6rem;
    color: var(--fail);
    font-weight: 700;
  }
  .foot {
    display: flex;
    flex-wrap: wrap;
    gap: 0.5rem;
  }
  .caption {
    display: grid;
    grid-template-columns: 3.4rem minmax(0, 1fr);
    gap: 0.5rem;
    overflow-wrap: anywhere;
  }
  @media (min-width: 56rem) {
    main {
      grid-template-columns: minmax(0, 1.2fr) minmax(0, 1fr);
    }
    main > :not(.picture, .answer) {
      grid-column: 1 / -1;
    }
  }
`;
