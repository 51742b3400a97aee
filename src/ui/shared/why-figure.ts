import { html, nothing } from 'lit';
import type { TemplateResult } from 'lit';
import type { AppliedLimit, Figure, FigureName, Why } from '../../judging/result.ts';
import { boundsText, withNumbers } from './why-text.ts';
import { plainNumber } from '../../answering/written.ts';
import { figureName, figureText, sourceText } from './words.ts';

/** Answers “why?” about one figure: how it was computed, from what, how certain it is, and what it was held against. */
export function whyFigure(name: FigureName, figure: Figure, why: Why | undefined): TemplateResult {
  const also = figure.also === undefined ? '' : ` (${plainNumber(figure.also.value)} ${figure.also.unit})`;
  return html`<section aria-label=${figureName(name)}>
    <h3><span class="name">${figureName(name)}:</span> ${figureText(figure)}${also}</h3>
    ${why === undefined ? nothing : html`<dl>${computed(figure, why)} ${why.limits.map(limitRows)} ${marginRow(why)}</dl>`}
  </section>`;
}

/** A limit with its source, as rows of a list. */
export function limitRows(limit: AppliedLimit): TemplateResult {
  return html`<dt>Limit</dt>
    <dd>${boundsText(limit)}${limit.condition === undefined ? nothing : html`; ${limit.condition}`}</dd>
    <dt>Source</dt>
    <dd>${sourceText(limit.source)}</dd>`;
}

function computed(figure: Figure, why: Why): TemplateResult {
  const numbers = withNumbers(why);
  const listed = why.inputs.map(({ name, value, unit }) => `${name} ${plainNumber(value)} ${unit}`).join('; ');
  return html`<dt>Formula</dt>
    <dd>${why.formula}</dd>
    ${
      why.inputs.length === 0
        ? nothing
        : html`<dt>Numbers</dt>
            <dd>${numbers === undefined ? listed : `${numbers} = ${plainNumber(figure.value)} ${figure.unit}`}</dd>`
    }
    <dt>Uncertainty</dt>
    <dd>
      ${figure.uncertainty > 0 ? `± ${plainNumber(figure.uncertainty)} ${figure.unit} (k = 2): ` : ''}${why.uncertainty}
    </dd>`;
}

function marginRow({ margin }: Why): TemplateResult | typeof nothing {
  if (margin === undefined) return nothing;
  const size = `${plainNumber(Math.abs(margin.value))} ${margin.unit}`;
  return html`<dt>Margin</dt>
    <dd>${margin.value < 0 ? `${size} outside the limit` : `${size} inside the limit`}</dd>`;
}
