import { css } from 'lit';

/** The colour of each verdict, beside its mark and word; `not` stands for “not judged”. */
export const verdictStyles = css`
  .pass {
    color: var(--pass);
  }
  .marginal {
    color: var(--marginal);
  }
  .fail {
    color: var(--fail);
  }
  .incomplete,
  .not {
    color: var(--unjudged);
  }
`;
