import { join } from 'node:path';
import { takesReadings, cuesOf } from '../../check/needs.ts';
import type { Plan } from '../../check/plan.ts';
import { hints } from '../../grammar/samples.ts';
import type { Grammar } from '../../grammar/syntax.ts';
import type { WrittenAsset } from './assets-voice.ts';
import { writeIfChanged } from './write-file.ts';

/** Commands, by what they are for. */
const COMMANDS = [
  ['yes', 'It is right (after “yes means fail”: it fails)'],
  ['no', 'It is wrong'],
  ['correction', 'Put the last needles right'],
  ['say-again', 'Hear it again'],
  ['listen-push', 'Be heard only while you press'],
  ['listen-open', 'Be heard all the time'],
  ['how-long', 'How long the hold still runs'],
  ['go-back', 'Do a step again'],
  ['skip', 'Leave a step out'],
  ['pause', 'Pause'],
  ['resume', 'Go on'],
  ['note', 'Take a note'],
  ['stop-check', 'Stop (asked once)'],
] as const;
/** Wordings of one cue on the card. */
const WORDINGS = 2;

/** A card of what one can say in a check of the plan, as a page to print: made from the grammar, so that it agrees with the ear. */
export async function writeCard(outDir: string, grammar: Grammar, plan: Plan): Promise<WrittenAsset> {
  const html = cardOf(grammar, plan);
  const changed = await writeIfChanged(join(outDir, 'card.html'), html);
  return { changed, note: `what one can say, ${Math.round(html.length / 1000)} kB` };
}

/** The card as HTML; each phrase stands in a `q`. */
export function cardOf(grammar: Grammar, plan: Plan): string {
  const say = (rule: string): string =>
    hints(grammar, rule, WORDINGS)
      .map((phrase) => `<q>${phrase}</q>`)
      .join(' ');
  const steps = plan.steps.map((step) => {
    const needles = takesReadings(step) ? `<li>${say('readings')}</li>` : '';
    return `<section><h2>${step.title}</h2><ul>${cuesOf(step)
      .map((cue) => `<li>${say(cue)}</li>`)
      .join('')}${needles}</ul></section>`;
  });
  const commands = COMMANDS.map(([rule, what]) => `<tr><th>${what}</th><td>${say(rule)}</td></tr>`);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<title>Two Needles: what one can say</title>
<style>
body { font: 11pt/1.3 'Segoe UI', Roboto, 'Liberation Sans', sans-serif; margin: 0 auto; padding: 0.6rem; max-width: 60rem; overflow-wrap: anywhere; }
h1 { font-size: 1.3em; } h2 { font-size: 1em; margin: 0.2rem 0; }
.steps { columns: 17rem; } section { break-inside: avoid; border: 1px solid; padding: 0.3rem 0.5rem; margin: 0 0 0.5rem; }
ul { margin: 0; padding-left: 1.1rem; } q { margin-right: 0.5em; } th { text-align: left; font-weight: 600; padding-right: 1rem; vertical-align: top; }
.caution { border: 2px solid; padding: 0.4rem; font-weight: 700; }
@media print { a { display: none; } }
</style>
</head>
<body>
<h1>${plan.title}: what one can say</h1>
<p class="caution">Level ground. Wheels chocked until the plan says otherwise. Nobody under or around the rig. Do not drive on a failed check.</p>
<p><a href="index.html">To the guide</a></p>
<div class="steps">
${steps.join('\n')}
</div>
<h1>At any time</h1>
<table>${commands.join('\n')}</table>
</body>
</html>
`;
}
