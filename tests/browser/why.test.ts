import axe from 'axe-core';
import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import { judge } from '../../src/judging/judge.ts';
import type { TimedReading } from '../../src/judging/measurement.ts';
import '../../src/ui/shared/page.css';
import { VerdictCard } from '../../src/ui/shared/verdict-card.ts';
import { settle } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

function called(primary: number, secondary: number, start: number): TimedReading {
  return {
    primary: { value: primary, unit: 'psi' },
    secondary: { value: secondary, unit: 'psi' },
    start,
    end: start + 2000,
  };
}

describe('“Why?” on a verdict', () => {
  it('opens by keyboard on formula, numbers, uncertainty, limit, source, margin and what the limits bind', async () => {
    const profile = BUILT_IN_PROFILES.find(({ id }) => id === 'us-cdl-single');
    if (profile === undefined) throw new Error('no profile');
    const readings = [called(110, 112, 0), called(106, 111, 62_000)];
    const card = new VerdictCard();
    card.heading = 'Static leakage';
    card.applicability = profile.applicability;
    card.result = judge({ test: 'static-leakage', readings }, profile, {
      id: 'engine-31',
      name: 'Engine 31',
      unit: 'psi',
    });
    document.body.append(card);
    await settle();
    await userEvent.keyboard('{Tab}{Enter}');
    await settle();
    const answer = card.renderRoot.querySelector('details')?.innerText.replace(/\s+/g, ' ') ?? '';
    expect(card.renderRoot.querySelector('details')?.open).toBe(true);
    expect(answer).toContain('these limits are usually a reference, not law');
    // 4 psi in 60 s; two readings to the nearest 1 psi: 2 × √2 × 1 ÷ √12 = 0.8 (JCGM 100, 4.3.7 and 5.1.2).
    expect(answer).toMatch(/primary drop in 60 s: 4 ± 0\.8 psi\/min/i);
    expect(answer).toContain('Formula drop × 60 s ÷ interval Numbers 4 psi × 60 s ÷ 60 s = 4 psi/min');
    expect(answer).toContain('Limit less than 2 psi/min; engine off, brakes released');
    expect(answer).toContain('Source CDL model manual, section 5 (read in a copy of the document)');
    expect(answer).toContain('Margin 2 psi/min outside the limit');
    expect(answer).toContain('Margin 1 psi/min inside the limit');
    const found = await axe.run(document.body, {
      resultTypes: ['violations'],
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'],
    });
    expect(found.violations.map(({ id }) => id)).toEqual([]);
  });
});
