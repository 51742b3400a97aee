import { css } from 'lit';

export const logDetailStyles = css`
  main {
    display: grid;
    gap: 1rem;
    padding: 1rem;
    max-width: 72rem;
    margin-inline: auto;
  }
  main > *,
  .columns > * {
    min-width: 0;
  }
  h1 {
    font-size: 1.5rem;
  }
  .columns {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 1rem;
    align-items: start;
  }
  .stack {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 1rem;
  }
  .outcome {
    border: 3px solid currentColor;
    border-radius: 0.75rem;
    padding: 0.7rem;
  }
  .outcome p {
    color: var(--ink);
  }
  .warning {
    background: var(--fail-ground);
    color: var(--on-fail);
    border-radius: 0.4rem;
    padding: 0.7rem;
    overflow-wrap: anywhere;
  }
  .warning ul {
    margin: 0.3rem 0 0;
    padding-left: 1.2rem;
  }
  .sound {
    border-left: 0.4rem solid var(--pass);
    padding-left: 0.6rem;
    overflow-wrap: anywhere;
  }
  figure {
    margin: 0;
  }
  .chart svg {
    width: 100%;
    height: auto;
    display: block;
  }
  .chart text {
    font-size: 13px;
    fill: var(--quiet);
  }
  .chart .grid {
    stroke: var(--hair);
    stroke-width: 0.5;
  }
  polyline {
    fill: none;
    stroke-width: 2.5;
  }
  polyline.primary {
    stroke: var(--primary-needle);
  }
  polyline.secondary {
    stroke: var(--secondary-needle);
    stroke-dasharray: 6 4;
  }
  circle.primary {
    fill: var(--primary-needle);
  }
  rect.secondary {
    fill: var(--secondary-needle);
  }
  .key {
    font-weight: 700;
    margin-right: 0.8rem;
  }
  .key.primary {
    color: var(--primary-needle);
  }
  .key.secondary {
    color: var(--secondary-needle);
  }
  td.number {
    font-variant-numeric: tabular-nums;
    white-space: nowrap;
  }
  a {
    color: inherit;
  }
  .trends {
    display: grid;
    gap: 1rem;
    grid-template-columns: repeat(auto-fill, minmax(min(20rem, 100%), 1fr));
  }
  @media (min-width: 60rem) {
    .columns {
      grid-template-columns: minmax(0, 1.2fr) minmax(0, 1fr);
    }
  }
`;
