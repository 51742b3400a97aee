import { css } from 'lit';

/** Tables of words: from the top, with hair lines, wider than the screen where they must be. */
export const tableStyles = css`
  .scroll {
    overflow-x: auto;
  }
  table {
    width: 100%;
    border-collapse: collapse;
  }
  th,
  td {
    text-align: left;
    vertical-align: top;
    padding: 0.3rem 0.7rem 0.3rem 0;
    border-bottom: 1px solid var(--hair);
  }
`;
