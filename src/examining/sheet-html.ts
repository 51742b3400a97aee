import type { ExaminerEvent, StartEvent } from '../check/event.ts';
import type { CheckState } from '../check/state.ts';
import { limitWords } from '../judging/wording.ts';
import { html, Html } from '../record/html.ts';
import type { Ms } from '../units/time.ts';
import { examinedOf } from './examined-of.ts';
import type { ExamRules, PartState } from './rules.ts';
import { sheetOf, type Sheet, type SheetPart } from './sheet.ts';

const STYLE = new Html(`
  @page { margin: 9mm; }
  * { box-sizing: border-box; margin: 0; }
  body { font: 10pt/1.3 system-ui, sans-serif; color: #111; background: #fff; max-width: 60rem; margin-inline: auto; padding: 1rem; }
  header { display: flex; justify-content: space-between; align-items: baseline; gap: 1rem; border-bottom: 3px solid #111; }
  h1 { font-size: 1.4em; }
  h2 { font-size: 1em; padding-top: 0.6rem; }
  dl { display: flex; flex-wrap: wrap; gap: 0.2rem 1.4rem; padding-block: 0.4rem; }
  dt { font-size: 0.8em; color: #444; }
  dd { font-weight: 600; }
  .fails { border: 2px solid #111; padding: 0.3rem 0.5rem; margin-block: 0.3rem; font-weight: 700; }
  table { width: 100%; border-collapse: collapse; font-size: 0.85em; }
  th, td { text-align: left; vertical-align: top; border-bottom: 1px solid #999; padding: 0.2rem 0.5rem 0.2rem 0; }
  td:nth-child(2) { font-weight: 700; white-space: nowrap; }
  ul { padding-left: 1.1rem; font-size: 0.85em; }
  .remarks div { border-bottom: 1px solid #999; height: 1.5rem; }
  audio { display: block; width: 9rem; height: 1.8rem; }
  .walk { columns: 3 12rem; }
  .signed { font-size: 0.85em; padding-top: 0.4rem; }
  .signature { padding-top: 1.6rem; white-space: nowrap; overflow: hidden; }
  @media screen and (width < 40em) {
    body { overflow-wrap: anywhere; padding: 0.6rem; }
    td, th { padding-right: 0.25rem; }
    td:nth-child(2), .signature { white-space: normal; }
  }
  footer { padding-top: 0.6rem; font-size: 0.8em; }
  @media print { audio, td a { display: none; } body { padding: 0; max-width: none; font-size: 7.5pt; } .remarks div { height: 1.1rem; } .walk { columns: 4; } tr { break-inside: avoid; } }
`);

const MARK: Readonly<Record<PartState, string>> = {
  done: '✓ done',
  said: '≈ said, did not count',
  omitted: '✗ omitted',
};

/** What a sheet takes from around the check. */
export interface SheetNotes {
  /** What the examiner put down while it ran. */
  readonly examiner?: readonly ExaminerEvent[];
  /** What officers wrote to the log. */
  readonly remarks?: readonly string[];
  /** Who has signed on the device, and when. */
  readonly signed?: readonly { readonly as: 'candidate' | 'examiner'; readonly name: string; readonly wall: string }[];
  /** Where the sound of a moment is: an address to follow, or the sound itself to play. */
  readonly sound?: (at: Ms) => { readonly href: string } | { readonly play: string } | undefined;
}

/**
 * The examiner's sheet of a check as one page to print: every required part with its moment and its sound, what fails without a judgement,
 * remarks, and two signatures. It loads nothing and runs nothing; sound that it plays is in it.
 */
export function sheetHtml(state: CheckState, rules: ExamRules, notes: SheetNotes): string {
  const { start, clock } = state;
  const { examiner = [], remarks = [], signed = [], sound = () => undefined } = notes;
  const sheet = sheetOf(examinedOf(state, examiner), rules);
  const from = clock.start ?? start.at;
  const lines = [
    ...examiner.flatMap(({ at, text }) => (text === undefined ? [] : [`${clockText(at - from)} ${text}`])),
    ...remarks,
  ];
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'unsafe-inline'; media-src data:"
        />
        <meta name="viewport" content="width=device-width" />
        <title>Examiner’s sheet: ${start.operator}, ${start.wall}</title>
        <style>
          ${STYLE}
        </style>
      </head>
      <body>
        <header><h1>Examiner’s sheet: ${rules.title}</h1></header>
        <dl>${facts(state)}</dl>
        ${sheet.fails.map(
          ({ words, parts, source }) =>
            html`<p class="fails">✗ Fails by rule: ${words} (${parts.join(', ')}). Rule: ${source.document}.</p>`,
        )}
        ${sheet.fails.length === 0 ? html`<p class="fails">No rule failed it by itself. The examiner decides.</p>` : html``}
        <table>
          <thead>
            <tr>
              <th>Required part</th>
              <th>Said and done</th>
              <th>At</th>
              <th>Order</th>
              <th>Limit stated</th>
              <th>Required by</th>
            </tr>
          </thead>
          <tbody>
            ${sheet.parts.map((part) => row(part, from, sound))}
          </tbody>
        </table>
        ${walked(sheet, from)}
        <h2>Remarks</h2>
        ${
          lines.length === 0
            ? html``
            : html`<ul>
                ${lines.map((line) => html`<li>${line}</li>`)}
              </ul>`
        }
        <div class="remarks">
          <div></div>
          <div></div>
          <div></div>
        </div>
        ${signed.map(
          ({ as, name, wall }) =>
            html`<p class="signed">
              Signed on the device as ${as}: <b>${name}</b>, ${minute(wall)}, with the key that seals its log.
            </p>`,
        )}
        <p class="signature">
          Candidate ______________________________ Examiner ______________________________ Date ______________
        </p>
        <footer>
          <p>
            What the ear heard and the rig’s needles were called to be; naming and pointing are for the examiner to see.
            A part that was not heard may have been said: its sound is in the log. Local rules come first.
          </p>
        </footer>
      </body>
    </html>`;
  return page.text;
}

function facts({ start: began, clock: { start, end }, now }: CheckState): readonly Html[] {
  const { operator, rig, wall, plan, at, profile }: StartEvent = began;
  const took =
    start === undefined || end === undefined
      ? `${minutes(now - at)}, from its first to its last event`
      : minutes(end - start);
  const all = {
    Candidate: operator,
    Rig: rig.name,
    Plan: plan.title,
    Limits: profile.title,
    Began: minute(wall),
    'Time taken': took,
  };
  return Object.entries(all).map(
    ([name, value]) =>
      html`<div>
        <dt>${name}</dt>
        <dd>${value}</dd>
      </div>`,
  );
}

function row(
  { title, state, at, why, putDown, outOfOrder, limits, stated, source }: SheetPart,
  from: Ms,
  sound: NonNullable<SheetNotes['sound']>,
): Html {
  const limit =
    limits === undefined
      ? ''
      : `${statedWords(stated, from)}${limits.length === 0 ? '' : `: ${[...new Set(limits.map((each) => limitWords(each)))].join('; ')}`}`;
  return html`<tr>
    <td>${title}</td>
    <td>
      ${MARK[state]}${why === undefined ? '' : html`<br />${why}`}${
        putDown === undefined
          ? ''
          : html`<br />put down by the examiner at ${clockText(putDown.at - from)}; as heard: ${putDown.heard}`
      }
    </td>
    <td>${at === undefined ? '–' : html`${clockText(at - from)}${soundOf(sound(at), title)}`}</td>
    <td>${at === undefined ? '–' : outOfOrder === undefined ? 'in order' : `✗ ${outOfOrder}`}</td>
    <td>${limit}</td>
    <td>${source.document}${source.section === undefined ? '' : ` ${source.section}`}</td>
  </tr>`;
}

/** The walk, in columns: what was done needs no more than its number, all else is named with its moment. */
function walked({ places }: Sheet, from: Ms): Html {
  if (places.length === 0) return html``;
  return html`<h2>Walk, by the order of the plan; the examiner weighs it</h2>
    <ul class="walk">
      ${places.map(({ title, items }) => {
        if (items.every(({ state }) => state === 'omitted'))
          return html`<li><b>${title}: ✗ all ${items.length} omitted</b></li>`;
        const named = items.flatMap(({ title: item, state, putDown, at, outOfOrder }) => {
          const when = at === undefined ? '' : ` at ${clockText(at - from)}`;
          if (putDown !== undefined)
            return [
              `${MARK[state]}: ${item}, put down by the examiner at ${clockText(putDown.at - from)}; as heard: ${putDown.heard}`,
            ];
          if (state !== 'done') return [`${MARK[state]}: ${item}${when}`];
          return outOfOrder === undefined ? [] : [`✗ ${item}${when}, ${outOfOrder}`];
        });
        const done = items.filter(({ state }) => state === 'done').length;
        return html`<li>
          <b>${title}: ${done} of ${items.length} done</b>${named.length === 0 ? '' : `; ${named.join('; ')}`}
        </li>`;
      })}
    </ul>`;
}

function statedWords(stated: SheetPart['stated'], from: Ms): string {
  if (stated === undefined) return '□ yes □ no';
  return `${stated.stated ? '✓ stated' : '✗ not stated'} (put down at ${clockText(stated.at - from)})`;
}

/** Nothing to print. */
function soundOf(sound: ReturnType<NonNullable<SheetNotes['sound']>>, title: string): Html {
  if (sound === undefined) return html``;
  return 'play' in sound
    ? html` <audio controls preload="none" src="${sound.play}" aria-label="Sound of ${title}"></audio>`
    : html` <a href="${sound.href}">sound</a>`;
}

function minute(wall: string): string {
  return wall.slice(0, 16).replace('T', ' ');
}

function minutes(ms: Ms): string {
  const whole = Math.round(ms / 1000);
  return `${String(Math.floor(whole / 60))} min ${String(whole % 60)} s`;
}

/** "4:07" on the clock of the examination; before it began with a minus. */
function clockText(ms: Ms): string {
  const whole = Math.round(Math.abs(ms) / 1000);
  return `${ms < 0 ? '−' : ''}${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, '0')}`;
}
