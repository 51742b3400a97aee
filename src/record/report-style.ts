import { Html } from './html.ts';

/** Dark on white, told apart by words and marks, not by colour; a whole full cab check fits one page of Letter or A4. */
export const REPORT_STYLE = new Html(`
  @page { margin: 9mm; }
  * { box-sizing: border-box; margin: 0; }
  body { font: 10pt/1.3 system-ui, sans-serif; color: #111; background: #fff; max-width: 60rem; margin-inline: auto; padding: 1rem; }
  header { display: flex; justify-content: space-between; align-items: baseline; gap: 1rem; border-bottom: 3px solid #111; }
  h1 { font-size: 1.5em; overflow-wrap: anywhere; }
  .verdict { font-size: 1.5em; font-weight: 800; white-space: nowrap; }
  dl { display: flex; flex-wrap: wrap; gap: 0.2rem 1.4rem; padding-block: 0.4rem; }
  dt { font-size: 0.8em; color: #444; }
  dd { font-weight: 600; }
  .warning { border: 2px solid #111; padding: 0.3rem 0.5rem; margin-block: 0.3rem; font-weight: 700; }
  table { width: 100%; border-collapse: collapse; font-size: 0.85em; }
  th, td { text-align: left; vertical-align: top; border-bottom: 1px solid #999; padding: 0.2rem 0.5rem 0.2rem 0; overflow-wrap: anywhere; }
  td:nth-child(2) { white-space: nowrap; font-weight: 700; overflow-wrap: normal; }
  th[scope='row'] { font-weight: inherit; }
  tr.fail > * { background: #eee; }
  table { table-layout: fixed; }
  th:nth-child(1) { width: 12%; } th:nth-child(2) { width: 8.5%; } th:nth-child(3) { width: 20%; } th:nth-child(4) { width: 17%; }
  ul { list-style: none; padding: 0; }
  td:nth-child(3) li { display: inline-block; white-space: nowrap; margin-right: 0.7em; }
  .walked { columns: 3 12rem; column-gap: 1rem; font-size: 0.85em; padding-top: 0.4rem; }
  .walked section { break-inside: avoid; padding-bottom: 0.3rem; }
  .walked h2 { font-size: 1em; border-bottom: 1px solid #999; }
  .walked li:not(.good) { font-weight: 700; }
  .photos { display: flex; flex-wrap: wrap; gap: 0.3rem; font-weight: 400; }
  .photos img { max-width: 100%; height: 2.4cm; }
  .officers { padding-top: 0.4rem; }
  .signature { padding-top: 1.6rem; white-space: nowrap; overflow: hidden; }
  footer { padding-top: 0.6rem; font-size: 0.8em; }
  .seal { font-family: ui-monospace, monospace; font-size: 0.85em; overflow-wrap: anywhere; padding-top: 0.2rem; }
  @media screen {
    /* On a phone the columns keep their width, and their part of the page is moved sideways. */
    .steps { overflow-x: auto; }
    table { min-width: 46em; }
    td:nth-child(3) li { white-space: normal; }
    header { flex-wrap: wrap; }
    .signature { white-space: normal; overflow-wrap: anywhere; }
  }
  @media print { body { padding: 0; max-width: none; font-size: 7.3pt; line-height: 1.15; } tr { break-inside: avoid; } th, td { padding-block: 0.08rem; } .warning { padding-block: 0.15rem; } .signature { padding-top: 0.8rem; line-height: 1.5; } footer { padding-top: 0.3rem; } }
`);
