import { css } from 'lit';

export const rehearsalRunStyles = css`
  /* Below the cab and the check there is seldom room for it. */
  .light {
    display: grid;
  }
  .what {
    flex: 1;
    min-width: 0;
    font-size: min(1rem, 20px);
    line-height: 1.1;
  }
  .columns {
    --widest: 90rem;
    gap: min(0.5rem, 8px);
    padding-bottom: 0.8rem;
  }
  .cab {
    /* So that the needles can stay in sight over the whole page. */
    display: contents;
  }
  .check {
    display: grid;
    gap: min(0.6rem, 9px);
    align-content: start;
    min-width: 0;
  }
  /* The needles stay in sight while cues and pad are scrolled. */
  .eyes {
    position: sticky;
    top: 0;
    z-index: 1;
    background: var(--ground);
    padding-block: 4px 2px;
    margin-inline: -0.2rem;
  }
  .dials {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 0.3rem;
    max-width: max(240px, 45cqh);
    margin-inline: auto;
  }
  tn-cab-controls {
    width: 100%;
    max-width: 44rem;
    margin-inline: auto;
  }
  .senses {
    min-height: 1.5em;
    font-size: max(0.75rem, min(1rem, 1rem / var(--text-scale, 1)));
    line-height: 1.2;
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.5rem;
    align-items: center;
    justify-content: center;
  }
  .senses b {
    border: 2px solid currentColor;
    border-radius: 0.3rem;
    padding-inline: 0.45rem;
    background: var(--caution-ground);
    color: var(--caution-ink);
  }
  h1 {
    /* As on the Check screen: the instruction is large already, and must not push the cues out of sight. */
    font-size: clamp(
      max(0.9rem, 1.2rem / var(--text-scale, 1)),
      2.4vw,
      max(0.9rem, min(1.7rem, 1.8rem / var(--text-scale, 1)))
    );
    line-height: 1.16;
  }
  .caution {
    font-size: max(0.75rem, min(1rem, 1rem / var(--text-scale, 1)));
    padding-block: min(0.3rem, 4px);
  }
  .title {
    font-size: max(0.75rem, min(1rem, 0.97rem / var(--text-scale, 1)));
    line-height: 1.25;
  }
  .cues {
    grid-template-columns: repeat(auto-fill, minmax(min(100%, max(5rem, 6.4rem / var(--text-scale, 1))), 1fr));
    gap: 6px;
  }
  .cues button {
    min-height: 48px;
    font-size: max(0.8rem, min(1.05rem, 1.05rem / var(--text-scale, 1)));
    line-height: 1.15;
    padding: 0.1rem 0.2rem;
  }
  /* The pad has the room of the cues; what stands in the cab while one types, it goes on doing. */
  @media (width < 60rem) {
    .say > .head {
      display: none;
    }
    .task .word {
      position: absolute;
      clip-path: inset(50%);
    }
  }
  .eyes tn-time-bar {
    font-size: max(0.8rem, min(1rem, 1rem / var(--text-scale, 1)));
  }
  @container cab (max-height: 44rem) {
    tn-reading-entry {
      --key-height: 48px;
    }
  }
  @container cab (max-height: 44rem) and (max-width: 40rem) {
    .entering .title {
      position: absolute;
      clip-path: inset(50%);
    }
    .typing .dials {
      max-width: max(220px, 37cqh);
    }
    .typing tn-cab-controls {
      display: none;
    }
    .typing tn-time-bar {
      --track: none;
    }
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
      max-width: max(320px, 100dvh - 17rem);
    }
  }
`;
