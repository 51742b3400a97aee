import { css } from 'lit';

export const rehearsalRunStyles = css`
  :host {
    min-height: 100dvh;
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
  }
  .what {
    flex: 1;
    min-width: 0;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .clock {
    font-size: 1.4rem;
    font-variant-numeric: tabular-nums;
  }
  .columns {
    flex: 1;
    display: grid;
    gap: 0.7rem;
    padding: 0 0.6rem 0.8rem;
    align-content: start;
    width: 100%;
    max-width: 90rem;
    margin-inline: auto;
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
  .task {
    display: grid;
    gap: 0.3rem;
  }
  .title {
    font-weight: 700;
    color: var(--quiet);
  }
  h1 {
    font-size: clamp(1.2rem, 4.4vw, 1.7rem);
    line-height: 1.18;
    font-weight: 800;
    text-wrap: balance;
  }
  .say {
    display: grid;
    gap: 0.5rem;
  }
  /* Opened, the pad ends just above the foot, so that the needles stand over it. */
  tn-reading-entry {
    scroll-margin-bottom: -6.4rem;
  }
  .cues {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(8.6rem, 1fr));
    gap: 0.4rem;
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
  .newest.pass {
    color: var(--pass);
  }
  .newest.marginal {
    color: var(--marginal);
  }
  .newest.fail {
    color: var(--fail);
  }
  .ear {
    display: grid;
    gap: 0.4rem;
  }
  .ear-line b {
    border: 2px solid currentColor;
    border-radius: 0.3rem;
    padding: 0 0.35rem;
    margin-right: 0.3rem;
  }
  .remark {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
  }
  .foot {
    position: sticky;
    bottom: 0;
    z-index: 1;
    display: grid;
    gap: 0.4rem;
    padding: 0.5rem 0.6rem calc(0.5rem + env(safe-area-inset-bottom));
    background: var(--panel);
    border-top: var(--edge) solid var(--rule);
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
    grid-auto-flow: column;
    grid-auto-columns: 1fr;
    gap: 0.3rem;
    width: 100%;
    max-width: 52rem;
    margin-inline: auto;
  }
  .tools button {
    padding-inline: 0;
    min-width: 0;
    font-size: clamp(0.85rem, 4vw, 1rem);
  }
  .stop {
    color: var(--fail);
    border-color: var(--fail);
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
  .ear button {
    justify-self: start;
  }
  @media (min-width: 60rem) {
    .columns {
      grid-template-columns: minmax(0, 1.15fr) minmax(18rem, 1fr);
      gap: 1.4rem;
      padding-inline: 1rem;
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
