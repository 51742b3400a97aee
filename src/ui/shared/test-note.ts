import { html, nothing } from 'lit';
import type { TestNote } from '../../judging/profile.ts';
import { sourceText } from './words.ts';

/** What other documents say against the way that a step tests, beside its instruction. */
export function testNote(note: TestNote | undefined) {
  return note === undefined
    ? nothing
    : html`<p class="note quiet" id="note">${note.text} <small>${sourceText(note.source)}</small></p>`;
}
