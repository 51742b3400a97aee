import { css } from 'lit';

/** What the screens of a running check and of a running rehearsal have in common. */
export const cabStyles = css`
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
  .clock {
    font-size: 1.4rem;
    font-variant-numeric: tabular-nums;
  }
  .columns {
    flex: 1;
    display: grid;
    align-content: start;
    width: 100%;
    margin-inline: auto;
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
  .foot {
    position: sticky;
    z-index: 1;
    bottom: 0;
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
  }
  .stop {
    color: var(--fail);
    border-color: var(--fail);
  }
`;
