import { css } from 'lit';

export const rehearsalRunStyles = css`
  .what {
    flex: 1;
    min-width: 0;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .columns {
    --widest: 90rem;
    gap: 0.7rem;
    padding-bottom: 0.8rem;
  }
  .cab {
    /* So that the needles can stay in sight over the whole page. */
    display: contents;
  }
  .check {
    display: grid;
    gap: 0.6rem;
    align-content: start;
    min-width: 0;
  }
  /* The needles stay in sight while cues and pad are scrolled. */
  .eyes {
    position: sticky;
    top: 0;
    z-index: 1;
    background: var(--ground);
    padding-block: 0.4rem 0.2rem;
    margin-inline: -0.2rem;
  }
  .dials {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 0.3rem;
    max-width: max(20rem, 100dvh - 22rem);
    margin-inline: auto;
  }
  tn-cab-controls {
    width: 100%;
    max-width: 44rem;
    margin-inline: auto;
  }
  .senses {
    min-height: 1.9rem;
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.5rem;
    align-items: center;
    justify-content: center;
  }
  .senses b {
    border: 2px solid currentColor;
    border-radius: 0.3rem;
    padding: 0.05rem 0.45rem;
    background: var(--caution-ground);
    color: var(--caution-ink);
  }
  h1 {
    font-size: clamp(1.2rem, 4.4vw, 1.7rem);
    line-height: 1.18;
  }
  .cues {
    grid-template-columns: repeat(auto-fill, minmax(min(100%, 8.6rem), 1fr));
    gap: 0.4rem;
  }
  .keys {
    display: grid;
    grid-template-columns: auto 1fr;
    gap: 0.4rem 1rem;
    margin: 0.6rem 0 0;
  }
  .keys dd {
    margin: 0;
  }
  dialog {
    container-type: inline-size;
  }
  @container (max-width: 16rem) {
    .keys {
      grid-template-columns: minmax(0, 1fr);
    }
  }
  .head {
    justify-content: space-between;
  }
  kbd {
    font: inherit;
    font-weight: 700;
    border: 1px solid var(--hair);
    border-radius: 0.25rem;
    padding: 0 0.3rem;
    white-space: nowrap;
  }
  @media (min-width: 60rem) {
    .columns {
      grid-template-columns: minmax(0, 1.15fr) minmax(18rem, 1fr);
      gap: 1.4rem;
    }
    .cab {
      display: grid;
      gap: 0.6rem;
      align-content: start;
    }
    .check {
      padding-top: 0.6rem;
    }
    .dials {
      max-width: max(20rem, 100dvh - 17rem);
    }
  }
`;
