import { css } from 'lit';

export const checkScreenStyles = css`
  .place {
    white-space: nowrap;
  }
  .pips {
    flex: 1;
    display: flex;
    gap: 2px;
    min-width: 0;
  }
  .pips i {
    flex: 1;
    height: 0.4rem;
    border: 1px solid currentColor;
  }
  .pips .past {
    background: currentColor;
  }
  .pips .here {
    height: 0.9rem;
    margin-block: -0.25rem;
    background: var(--here);
  }
  .columns {
    --widest: 84rem;
    gap: 0.9rem;
    padding-block: 0.8rem;
  }
  .now {
    display: grid;
    gap: 0.7rem;
    align-content: start;
    min-width: 0;
  }
  h1 {
    /* Large text is for what is small: the instruction is so already, and must not push the needles out of sight. */
    font-size: clamp(min(1.35rem, 1.45rem / var(--text-scale, 1)), 5vw, min(2.1rem, 2.2rem / var(--text-scale, 1)));
    line-height: 1.16;
  }
  .cues {
    grid-template-columns: repeat(auto-fill, minmax(min(100%, 9.5rem / var(--text-scale, 1)), 1fr));
    gap: 0.5rem;
  }
  .cues button {
    min-height: clamp(48px, 3.6rem, 60px);
    font-size: max(0.8rem, min(1.1rem, 1.3rem / var(--text-scale, 1)));
    padding-inline: 0.4rem;
  }
  .caution {
    font-size: max(0.75rem, min(1rem, 1.15rem / var(--text-scale, 1)));
  }
  @container cab (max-width: 40rem) {
    .say > h2 {
      position: absolute;
      clip-path: inset(50%);
    }
  }
  .side {
    display: grid;
    gap: 0.8rem;
    align-content: start;
    min-width: 0;
  }
  @media (width < 60rem) {
    /* So that needles and time stay in sight over the verdicts, too. */
    .now {
      display: contents;
    }
    .columns {
      gap: 0.5rem;
      grid-template-columns: minmax(0, 1fr);
      grid-auto-rows: max-content;
    }
  }
  @media (min-width: 60rem) {
    .columns {
      grid-template-columns: minmax(0, 1.7fr) minmax(20rem, 1fr);
      gap: 1.6rem;
    }
    .newest {
      display: none;
    }
    .foot {
      grid-auto-flow: column;
      grid-auto-columns: 1fr;
      align-items: center;
    }
    .tools button {
      min-height: clamp(48px, 4rem, 64px);
    }
  }
`;
