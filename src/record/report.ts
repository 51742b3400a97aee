import { measuredText } from '../units/measured.ts';
import { html, type Html } from './html.ts';
import type { Judged, Result } from './judged.ts';
import { isOfficerEvent, type LogFile } from './log.ts';
import { reviewedLine } from '../items/report-review.ts';
import type { KnownKey, Standing } from './known-keys.ts';
import { REPORT_STYLE } from './report-style.ts';
import type { ShownPhoto } from './photos-of-log.ts';
import { signedAs, signedWords } from './signed-as.ts';
import type { Countersigned, Verification } from './verify.ts';

type Limit = Result['limits'][number];
type ItemResult = NonNullable<Result['items']>[number];

const MARK: Readonly<Record<string, string>> = {
  pass: '✓',
  marginal: '≈',
  fail: '✗',
  'not judged': '–',
  incomplete: '–',
};

/** What this device adds to a log: the keys that it knows, and the photos that it has of it. */
interface ReportMore {
  readonly known?: readonly KnownKey[] | undefined;
  readonly photos?: readonly ShownPhoto[];
}

/**
 * The report of a check: one page of HTML that loads nothing and runs nothing, to be read or printed. Everything in the log,
 * operators' words too, is shown as text.
 */
export function reportHtml(
  log: LogFile,
  { state, view }: Judged,
  { faults, device, countersigned, remarked }: Verification,
  sealer: Standing,
  { known, photos = [] }: ReportMore = {},
): string {
  const { start, clock } = state;
  const verdict = view.verdict ?? 'incomplete';
  const corrected =
    view.results.length === 0 ? [] : state.callouts.filter(({ meaning }) => meaning?.command === 'correction');
  const steps = byImportance(view.results);
  const failed = steps.filter(({ result }) => result.verdict === 'fail').map(({ title }) => title);
  const unconfirmed = state.callouts.filter((callout) => callout.unconfirmed === true).length;
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'unsafe-inline'${photos.length === 0 ? '' : html`; img-src data:`}"
        />
        <meta name="viewport" content="width=device-width" />
        <title>${start.rig.name}, ${start.plan.title}, ${start.wall}</title>
        <style>
          ${REPORT_STYLE}
        </style>
      </head>
      <body>
        <header>
          <h1>${start.rig.name}: ${start.plan.title}</h1>
          <p class="verdict">${MARK[verdict]} ${verdict.toUpperCase()}</p>
        </header>
        <main>
          <dl>
            ${item('Started', whenText(start.wall))} ${item('Operator', start.operator)}
            ${item('Limits', start.profile.title)}
            ${item('Time taken', clock.start === undefined || clock.end === undefined ? 'not timed' : minutes(clock.end - clock.start))}
            ${item('Corrections', String(corrected.length))} ${item('Taken unconfirmed', String(unconfirmed))}
          </dl>
          ${sealerLine(sealer, device)}
          ${faults.length === 0 ? html`` : html`<p class="warning">This log is not as it was sealed: ${faults[0]?.what} Read it with that in mind.</p>`}
          ${verdict === 'fail' ? html`<p class="warning">Outside its limit or out of service: ${failed.join(', ')}. Do not drive on a failed check.</p>` : html``}
          ${reviewed(start)} ${measuredTable(steps.filter(({ result }) => result.items === undefined))}
          ${walked(view.results, photos)} ${officers(log, [...countersigned, ...remarked], known)}
          <p class="signature">
            Operator ______________________________ Officer ______________________________ Date ______________
          </p>
        </main>
        <footer>
          <p>
            This page says what was called and measured against which limit, nothing more. Level ground, wheels chocked,
            nobody under or around the rig during a check. Local codes, the maker's manual and licensed technicians come
            first.
          </p>
          <p class="seal">
            Log ${log.header.check}, ${log.end.count} entries, ends in ${log.end.head}. Sealed with the key
            ${device}${sealer.kind === 'known' ? `, known here as ${sealer.name}` : ''}, format version
            ${log.header.version}.
          </p>
        </footer>
      </body>
    </html> `;
  return page.text;
}

/** What the driver found of the last report, with the documents that ask for it. */
function reviewed({ review, profile: { reportReview = [] } }: Judged['state']['start']): Html {
  if (review === undefined) return html``;
  return html`<section class="reviewed">
    <h2>Review of the last report (${reportReview.map(({ document }) => document).join(', ')})</h2>
    <ul>
      ${review.defects.map((each) => html`<li>${reviewedLine(each)}</li>`)}
    </ul>
    <p>
      Signed before the check by ${review.driver}, ${whenText(review.wall)}, sealed with the key of the device. It
      closes no defect.
    </p>
  </section>`;
}

/** What has to be said before anything else of a log whose maker is not known. */
function sealerLine({ kind }: Standing, device: string): Html {
  if (kind === 'own' || kind === 'known') return html``;
  const what =
    kind === 'throwaway'
      ? 'This log was sealed with a key that was thrown away: its seal is only a checksum, and does not say who made it.'
      : `This log was sealed with a key that the exporting device does not know (${device}): who made it is not known.`;
  return html`<p class="warning">${what}</p>`;
}

function item(name: string, value: string): Html {
  return html`<div>
    <dt>${name}</dt>
    <dd>${value}</dd>
  </div>`;
}

function measuredTable(steps: readonly { readonly title: string; readonly result: Result }[]): Html {
  if (steps.length === 0) return html``;
  return html`<div class="steps" role="region" aria-label="Steps" tabindex="0">
    <table>
      <thead>
        <tr>
          <th scope="col">Step</th>
          <th scope="col">Verdict</th>
          <th scope="col">Measured</th>
          <th scope="col">Limit and source</th>
          <th scope="col">Why</th>
        </tr>
      </thead>
      <tbody>
        ${steps.map(({ title, result }) => stepRow(title, result))}
      </tbody>
    </table>
  </div>`;
}

function stepRow(title: string, { verdict, reason, figures, limits, conditions = [], flags = [] }: Result): Html {
  const measured = Object.entries(figures).map(
    ([name, { value, unit, uncertainty }]) => html`<li>${words(name)} ${measuredText(value, uncertainty)} ${unit}</li>`,
  );
  return html`<tr class="${verdict.replace(' ', '-')}">
    <th scope="row">${title}</th>
    <td>${MARK[verdict]} ${verdict}</td>
    <td>
      <ul>
        ${measured}
      </ul>
    </td>
    <td>
      <ul>
        ${limitLines(limits).map((line) => html`<li>${line}</li>`)}
      </ul>
    </td>
    <td>
      ${reason} ${flags.map((flag) => html`<p class="flag">${flag}.</p>`)}
      ${conditions.length === 0 ? html`` : html`<p class="under">Under: ${conditions.map(underWords).join(', ')}.</p>`}
    </td>
  </tr>`;
}

/**
 * The places of a walk in columns, each with its verdict and why, what was flagged and its limits: the items that are not good a line each,
 * the good ones together.
 */
function walked(results: Judged['view']['results'], photos: readonly ShownPhoto[]): Html {
  const places = results.flatMap(({ title, result }) =>
    result.items === undefined ? [] : [{ title, result, items: result.items }],
  );
  if (places.length === 0) return html``;
  return html`<div class="walked">
    ${places.map(({ title, result: { verdict, reason, flags = [], limits }, items }) => {
      // What has a photo has a line of its own, whatever it was called in the end.
      const isShort = ({ id, state }: ItemResult): boolean =>
        state === 'good' && photos.every((photo) => photo.item !== id);
      const good = items.filter(isShort);
      const others = items.filter((each) => !isShort(each));
      return html`<section>
        <h2>${title}: ${MARK[verdict]} ${verdict}</h2>
        <ul>
          ${others.map((each) => html`<li>${itemLine(each)}${pictures(each, photos)}</li>`)}
          ${flags.map((flag) => html`<li class="flag">${flag}.</li>`)}
          <li class="good">${reason}</li>
          ${good.length === 0 ? html`` : html`<li class="good">${MARK['pass']} ${good.map(goodItem).join(', ')}</li>`}
          ${limitLines(limits).map((line) => html`<li class="good">${line}</li>`)}
        </ul>
      </section>`;
    })}
  </div>`;
}

const NO_PICTURE = {
  kept: '',
  wrong: 'The photo that is there is not the one that was taken.',
  gone: 'A photo is not kept any more.',
  'taken back': 'A photo was taken back.',
} as const;

/** The photos of an item beside it, small; what became of one without its picture, in words. */
function pictures({ id, title }: ItemResult, photos: readonly ShownPhoto[]): Html {
  const own = photos.filter(({ item: of }) => of === id);
  if (own.length === 0) return html``;
  return html`<div class="photos">
    ${own.map(({ is, address }, nth) => (address === undefined ? html`<p class="flag">${NO_PICTURE[is]}</p>` : html`<img src="${address}" alt="Photo ${nth + 1} of ${title}" />`))}
  </div>`;
}

/** "Left front tire 8 32nds". */
function goodItem({ title, value }: ItemResult): string {
  return value === undefined ? title : `${title} ${String(value.value)} ${value.unit}`;
}

const CLASS_WORDS = { 'out-of-service': 'OUT OF SERVICE', report: 'report' } as const;

/** "✗ Drive belts: frayed (report; its source)". */
function itemLine({ title, state, words: how, class: isClass, value, source }: ItemResult): string {
  const isBad = state === 'bad' || isClass !== undefined;
  const mark = isBad ? MARK['fail'] : state === 'good' ? MARK['pass'] : MARK['not judged'];
  const measured = value === undefined || how !== undefined ? '' : `, ${String(value.value)} ${value.unit}`;
  const told = how === undefined || state === 'bad' ? (how ?? state) : `${state}, ${how}`;
  const from = source === undefined ? '' : `; ${source.sure === 'practice' ? 'common practice' : source.document}`;
  return `${String(mark)} ${title}${measured}: ${told}${isClass === undefined ? '' : ` (${CLASS_WORDS[isClass]}${from})`}`;
}

/** A condition in a word or two; how it was known stands in the log. */
function underWords({ what, state }: NonNullable<Result['conditions']>[number]): string {
  return state === 'known' ? what : `${what} (${state})`;
}

function officers(
  { entries }: LogFile,
  signed: readonly Countersigned[],
  known: readonly KnownKey[] | undefined,
): Html {
  const lines = entries.flatMap(({ event }, place) => {
    if (!isOfficerEvent(event)) return [];
    const found = signed.find(({ entry }) => entry === place);
    const how = found === undefined ? '(the signature does not hold)' : signedWords(found, signedAs(found, known));
    const said =
      event.type === 'remark' ? `remarks ${how}: ${event.text}` : `has seen and countersigned this check ${how}.`;
    return [html`<li>${whenText(event.wall)}: ${event.officer} ${said}</li>`];
  });
  return lines.length === 0
    ? html``
    : html`<ul class="officers">
        ${lines}
      </ul>`;
}

/** One line for all figures that have the same limit from the same source. */
function limitLines(limits: readonly Limit[]): string[] {
  const lines = new Map<string, string[]>();
  for (const limit of limits) {
    const line = `${range(limit)} (${sourceOf(limit)})`;
    lines.set(line, [...(lines.get(line) ?? []), words(limit.figure)]);
  }
  return [...lines].map(([line, figures]) => `${figures.join(' and ')} ${line}`);
}

function range({ min, max, strict, unit }: Limit): string {
  if (min !== undefined && max !== undefined) return `${short(min)} to ${short(max)} ${unit}`;
  if (max !== undefined) return `${strict === true ? 'less than' : 'at most'} ${short(max)} ${unit}`;
  return min === undefined ? '' : `${strict === true ? 'more than' : 'at least'} ${short(min)} ${unit}`;
}

function sourceOf({ source }: Limit): string {
  if (source.sure === 'practice') return 'common practice, no source';
  return source.section === undefined ? source.document : `${source.document}, ${source.section}`;
}

/** `primaryDrop` as people write it. */
function words(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

function short(value: number): string {
  return String(Math.round(value * 10) / 10);
}

/** A moment as people write it, in the time zone of whoever prints. */
function whenText(wall: string): string {
  return new Date(wall).toLocaleString('en-US', {
    ...{ year: 'numeric', month: 'long', day: 'numeric', hour: 'numeric', minute: '2-digit', timeZoneName: 'short' },
  });
}

const IMPORTANCE: readonly Result['verdict'][] = ['fail', 'marginal', 'not judged', 'pass'];

/** The failed steps first; steps alike in the order of the plan. */
function byImportance<S extends { readonly result: Result }>(steps: readonly S[]): readonly S[] {
  return IMPORTANCE.flatMap((verdict) => steps.filter(({ result }) => result.verdict === verdict));
}

function minutes(ms: number): string {
  const whole = Math.round(ms / 1000);
  return `${Math.floor(whole / 60)} min ${whole % 60} s`;
}
