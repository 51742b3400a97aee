import { css } from 'lit';

export const checkScreenStyles = css`
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
  .clock {
    font-size: 1.4rem;
    font-variant-numeric: tabular-nums;
  }
  .columns {
    flex: 1;
    display: grid;
    gap: 0.9rem;
    padding: 0.8rem;
    align-content: start;
    width: 100%;
    max-width: 84rem;
    margin-inline: auto;
  }
  .now {
    display: grid;
    gap: 0.7rem;
    align-content: start;
    min-width: 0;
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
    font-size: clamp(1.35rem, 5vw, 2.1rem);
    line-height: 1.16;
    font-weight: 800;
    text-wrap: balance;
  }
  .say {
    display: grid;
    gap: 0.5rem;
  }
  .cues {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(9.5rem, 1fr));
    gap: 0.5rem;
  }
  .cues button {
    min-height: 3.6rem;
    font-size: 1.1rem;
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
  .unused q {
    text-decoration: line-through;
    color: var(--quiet);
  }
  .side {
    display: grid;
    gap: 0.8rem;
    align-content: start;
    min-width: 0;
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
  .unavailable .ear-line b {
    border-style: dashed;
  }
  .remark,
  .notice {
    border-left: 0.4rem solid var(--marginal);
    padding-left: 0.6rem;
  }
  .foot {
    position: sticky;
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
    padding-inline: 0.1rem;
    min-width: 0;
  }
  .stop {
    color: var(--fail);
    border-color: var(--fail);
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
      min-height: 4rem;
    }
  }
`;
