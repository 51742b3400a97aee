import { css } from 'lit';

/** What the screens of a running check and of a running rehearsal have in common. */
export const cabStyles = css`
  /* Head and foot stay; what is between them scrolls. */
  :host {
    height: 100dvh;
    display: flex;
    flex-direction: column;
  }
  .strip {
    display: flex;
    align-items: center;
    gap: 0.7rem;
    padding: 0.4rem 0.8rem;
    background: var(--strip);
    color: var(--on-strip);
    font-weight: 700;
    container: strip / inline-size;
  }
  .light {
    display: grid;
    gap: 0.1rem;
    font-size: min(0.85rem, 20px);
    line-height: 1.1;
    white-space: nowrap;
  }
  .light tn-level-meter {
    min-width: 4rem;
  }
  @container strip (max-width: 17rem) {
    .pips,
    .word {
      display: none !important;
    }
  }
  @media (min-width: 60rem) {
    .light {
      display: none;
    }
  }
  .clock {
    font-size: 1.4rem;
    font-variant-numeric: tabular-nums;
  }
  .columns {
    --edges: max(0.8rem, (100% - var(--widest)) / 2);
    position: relative;
    flex: 1;
    min-height: 0;
    overflow-y: auto;
    display: grid;
    align-content: start;
    padding-inline: var(--edges);
    container: cab / size;
  }
  /* Whatever is read or pressed, the needles and the time that runs are in sight. */
  .glance {
    position: sticky;
    top: 0;
    bottom: 0;
    z-index: 1;
    display: grid;
    gap: 0.4rem;
    padding-block: 0.2rem;
    background: var(--ground);
  }
  tn-question-panel:not([asking]) {
    display: none;
  }
  .unsaid {
    border: 3px solid var(--marginal);
    border-radius: 0.75rem;
    padding: 0.6rem 0.8rem;
    font-size: 1.5rem;
  }
  .task {
    display: grid;
    gap: 0.3rem;
  }
  .title {
    font-weight: 700;
    color: var(--quiet);
  }
  h1 {
    font-weight: 800;
    text-wrap: balance;
    hyphens: auto;
  }
  .say {
    display: grid;
    gap: 0.5rem;
  }
  .cues {
    display: grid;
  }
  .cues .wanted {
    border-width: 3px;
  }
  .cues .done {
    border-style: dashed;
    font-weight: 500;
  }
  .phrases q {
    display: inline-block;
    margin-right: 0.6rem;
  }
  .caption {
    display: grid;
    grid-template-columns: 3.6rem 1fr;
    gap: 0.5rem;
    min-height: 1.4em;
  }
  .unused q {
    text-decoration: line-through;
    color: var(--quiet);
  }
  .newest b {
    border-left: 0.4rem solid currentColor;
    padding-left: 0.5rem;
  }
  .newest.unjudged {
    color: inherit;
  }
  .ear {
    display: grid;
    gap: 0.4rem;
  }
  .ear button {
    justify-self: start;
  }
  .ear-line b {
    border: 2px solid currentColor;
    border-radius: 0.3rem;
    padding: 0 0.35rem;
    margin-right: 0.3rem;
  }
  .unavailable .ear-line b {
    border-style: dashed;
  }
  .remark,
  .notice {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
  }
  /* It stays in the page, so that what comes into it is announced, and takes no room. */
  [role='status']:empty {
    margin-top: -0.7rem;
  }
  /* Where there is no room for both, the question goes first. */
  @container cab (max-height: 24rem) {
    tn-question-panel[asking] ~ .glance,
    tn-fork-panel[asking] ~ .glance {
      position: static;
    }
  }
  /* The pad has the room of a small screen to itself: title, time and pad fit without scrolling. */
  @container cab (max-width: 40rem) or (max-height: 58rem) {
    /* It may have the focus. */
    .entering h1 {
      position: absolute;
      clip-path: inset(50%);
    }
    .entering :is(.caution, .note, .newest, .caption, .phrases, tn-needle-pair, .say > h2, .cues) {
      display: none;
    }
    .entering {
      gap: 0.4rem;
    }
  }
  .foot {
    display: grid;
    gap: 0.4rem;
    padding: 0.5rem 0.6rem calc(0.5rem + env(safe-area-inset-bottom));
    background: var(--panel);
    border-top: var(--edge) solid var(--rule);
    container: foot / inline-size;
  }
  .talk {
    min-height: 4rem;
    font-size: 1.3rem;
    touch-action: none;
    user-select: none;
    border-width: 3px;
  }
  .tools {
    display: grid;
    /* Of equal room to spare, so that the longest word keeps its own. */
    grid-template-columns: repeat(6, auto);
    gap: 0.3rem;
    width: 100%;
    max-width: 52rem;
    margin-inline: auto;
  }
  .tools button {
    font-size: clamp(14px, 4.4cqi, 1rem);
    padding: 0;
    min-width: 48px;
    min-height: clamp(48px, 3rem, 56px);
  }
  @container foot (max-width: 16rem) {
    .tools {
      grid-template-columns: repeat(3, auto);
    }
    .tools button {
      font-size: 1rem;
    }
  }
  .stop {
    color: var(--fail);
    border-color: var(--fail);
  }
`;
