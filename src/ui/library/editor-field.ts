import { html, nothing } from 'lit';
import type { TemplateResult } from 'lit';
import { live } from 'lit/directives/live.js';
import type { Outcome } from '../../units/outcome.ts';
import type { Drafting } from './drafting.ts';
import { liveRegion } from '../shared/live-region.ts';

interface Field<D> {
  /** Unique in the editor; no spaces. */
  readonly name: string;
  readonly label: string;
  readonly value: string;
  /** What the draft becomes when the field holds this text. */
  readonly change: (draft: D, text: string) => Outcome<D>;
  readonly kind?: 'line' | 'number' | 'area';
  /** Shown behind the field, and part of its name. */
  readonly unit?: string;
}

/** A labelled field of a draft. What was refused stays in it, with the reason below. */
export function editorField<D>(
  drafting: Drafting<D>,
  { name, label, value, change, kind = 'line', unit }: Field<D>,
): TemplateResult {
  const refusal = drafting.refusals.get(name);
  const shown = refusal?.text ?? value;
  const invalid = refusal === undefined ? 'false' : 'true';
  const entered = (event: Event): void => {
    const text = (event.target as HTMLInputElement | HTMLTextAreaElement).value;
    drafting.enter(name, text, change(drafting.current, text));
  };
  const described = refusal === undefined ? nothing : `${name}-why`;
  const control =
    kind === 'area'
      ? html`<textarea
          id=${name}
          rows="3"
          maxlength="400"
          aria-invalid=${invalid}
          aria-describedby=${described}
          .value=${live(shown)}
          @change=${entered}
        ></textarea>`
      : html`<input
          id=${name}
          maxlength="200"
          autocomplete="off"
          inputmode=${kind === 'number' ? 'decimal' : 'text'}
          aria-invalid=${invalid}
          aria-describedby=${described}
          .value=${live(shown)}
          @change=${entered}
        />`;
  return html`<div class="entry ${kind}">
    <label for=${name}>${label}${unit === undefined ? nothing : html` <span class="unit">(${unit})</span>`}</label>
    ${control} ${liveRegion('alert', refusal?.line ?? '', { look: 'why-not', id: `${name}-why` })}
  </div>`;
}

/** The number in a field, with a point or a comma; NaN when there is none. */
export function numberIn(text: string): number {
  const plain = text.trim().replace(',', '.');
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : NaN;
}
