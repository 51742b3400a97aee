import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';
import { placesOf } from '../../src/check/places.ts';
import { judgeLog } from '../../src/record/judged.ts';
import { reportHtml } from '../../src/record/report.ts';
import { verifyLog } from '../../src/record/verify.ts';
import { CHROMIUM_ARGS, findChromium } from '../support/chromium.ts';
import { calloutOf } from '../support/tube/edges.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { itemsOf, misjudged, planOf, SEEDED, walkBy, type SeededWalk } from '../support/tube/pre-trip.ts';
import { runTube, type TubeRun } from '../support/tube/tube.ts';

/**
 * `npm run bench -- pretrip [--voice NAME] [--plan ID]`: the whole pre-trip by voice in the test tube, every item and every step of the air
 * brake check, six seeded defects a voice: what the log says of them, words per item, minutes, and the pages of the report, which is kept in
 * `reports/`. The voices come from two ways of making speech: recorded pieces of a person (`rms`) and diphones (`kal16`).
 */
const { values } = parseArgs({
  options: { voice: { type: 'string' }, plan: { type: 'string', default: 'whole-pre-trip' } },
});
const REPORTS = fileURLToPath(new URL('../../reports/', import.meta.url));
const plan = planOf(values.plan);

/** Pages of the printed report. */
async function printed(run: TubeRun, name: string): Promise<number> {
  if (run.log === undefined) return NaN;
  const judged = judgeLog(run.log, name);
  if (!judged.ok) throw new Error(judged.problem.what);
  await mkdir(REPORTS, { recursive: true });
  await writeFile(
    `${REPORTS}${name}.html`,
    reportHtml(run.log, judged.value, await verifyLog(run.log), { kind: 'own' }),
  );
  const browser = await chromium.launch({ executablePath: findChromium(), args: [...CHROMIUM_ARGS] });
  const page = await browser.newPage();
  await page.goto(`file://${REPORTS}${name}.html`);
  const pdf = await page.pdf({ path: `${REPORTS}${name}.pdf`, format: 'Letter', printBackground: true });
  await browser.close();
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? NaN;
}

function minutes(ms: number): string {
  return (ms / 60_000).toFixed(1);
}

function told(run: TubeRun, seeded: SeededWalk, processor: number, pages: number): void {
  const places = placesOf(plan);
  const ids = new Set(places.map(({ id }) => id));
  const items = places.reduce((sum, place) => sum + place.items.length, 0);
  const walked = run.said.filter(({ step }) => ids.has(step));
  const rest = run.said.filter(({ step }) => !ids.has(step));
  const words = walked.reduce((sum, { text }) => sum + text.split(/[\s,]+/).length, 0);
  const lasts = (said: TubeRun['said']): number => (said.at(-1)?.end ?? 0) - (said[0]?.at ?? 0);
  const wrong = misjudged(run, seeded);
  const found = itemsOf(run).filter((item) => item.state === 'bad');
  const unheard = run.said.filter((said) => calloutOf(run, said) === undefined);
  const repairs = walked.filter(({ text }) => text.startsWith('correction'));
  console.log(
    [
      `pretrip, voice ${seeded.voice}: ${run.finished ? 'finished' : 'NOT FINISHED'}, ${items} items and ${plan.steps.length - places.length} other steps`,
      `  defects: ${found.map(({ id, words: how = '', class: is = '' }) => `${id} ${how} (${is})`).join('; ')}`,
      `  judged otherwise than the rig is: ${wrong.length === 0 ? 'none' : wrong.join('; ')}`,
      `  items: ${walked.length} callouts, ${words} words, ${(words / items).toFixed(1)} words an item, ${minutes(lasts(walked))} min; air brakes: ${rest.length} callouts, ${minutes(lasts(rest))} min; in all ${minutes(lasts(run.said))} min`,
      `  not heard: ${unheard.map(({ text }) => `“${text}”`).join(', ') || 'none'}`,
      `  corrected by the operator: ${repairs.map(({ text }) => `“${text}”`).join(', ') || 'none'}`,
      `  report: ${String(pages)} pages; ${processor.toFixed(0)} s of processor time for ${run.seconds.toFixed(0)} s of sound`,
    ].join('\n'),
  );
  for (const said of walked) {
    const callout = calloutOf(run, said);
    if (callout !== undefined && callout.heard !== said.text.replaceAll(',', ''))
      console.log(`    said “${said.text}”, heard “${callout.heard}” (${callout.confidence.toFixed(2)})`);
  }
  if (run.troubles.length > 0) console.log(`  troubles: ${run.troubles.join('; ')}`);
}

const host = await nodeHost();
for (const seeded of SEEDED) {
  if (values.voice !== undefined && values.voice !== seeded.voice) continue;
  const before = process.cpuUsage();
  const run = await runTube(host, walkBy(seeded, plan));
  const { user, system } = process.cpuUsage(before);
  told(run, seeded, (user + system) / 1e6, await printed(run, `pretrip-${seeded.voice}`));
}
