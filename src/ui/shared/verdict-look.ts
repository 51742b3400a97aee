import { css, html } from 'lit';
import type { CheckVerdict, Verdict } from '../../judging/result.ts';

/** A mark and a word for each verdict: no verdict is told by colour alone. */
export const VERDICT_MARK: Record<Verdict | CheckVerdict, string> = {
  pass: '✓',
  marginal: '≈',
  fail: '✕',
  'not judged': '–',
  incomplete: '–',
};

/** `✓ pass`; a word that is no verdict stands for itself. */
export function verdictText(verdict: string): string {
  return verdict in VERDICT_MARK ? `${VERDICT_MARK[verdict as keyof typeof VERDICT_MARK]} ${verdict}` : verdict;
}

/** The mark alone, in its ring, where the word stands beside it. */
export function verdictMark(verdict: Verdict | CheckVerdict) {
  return html`<span class="verdict-mark" aria-hidden="true">${VERDICT_MARK[verdict]}</span>`;
}

/** The class by which a verdict has its colour. */
export function toneOf(verdict: Verdict | CheckVerdict): 'pass' | 'marginal' | 'fail' | 'unjudged' {
  return verdict === 'not judged' || verdict === 'incomplete' ? 'unjudged' : verdict;
}

/** How verdicts look, wherever they stand. */
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
  .unjudged {
    color: var(--unjudged);
  }
  .verdict-mark {
    flex: none;
    width: 1.9rem;
    height: 1.9rem;
    display: grid;
    place-items: center;
    border: 2px solid currentColor;
    border-radius: 50%;
    font-weight: 900;
  }
  .fail .verdict-mark {
    border-radius: 0.2rem;
    background: var(--fail-ground);
    color: var(--on-fail);
    border-color: var(--fail);
  }
`;
