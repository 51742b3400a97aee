import process from 'node:process';
import { parseArgs } from 'node:util';
import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import type { Plan } from '../../src/check/plan.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { drawnAnswers, hearOwn } from '../support/tube/own-answers.ts';
import { randomFrom } from '../../src/airsystem/scenario.ts';

/**
 * `npm run bench -- own-words [--answers N] [--seed S] [--only TEXT] [--mute]`: answers of a check, drawn, spoken into a cab in which nobody else speaks,
 * and what our own ear makes of them, with every callout of the grammar to be taken for. Echoes 10 and 25 dB below an operator, 20 to
 * 250 ms late, in a quiet cab and over a diesel. `--mute` without the ear, in a fifth of the time: how often the tool cuts itself off.
 */
const { values } = parseArgs({
  options: {
    answers: { type: 'string', default: '1008' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string', default: '' },
    mute: { type: 'boolean', default: false },
  },
});
/** Of an operator at the microphone, dB re full scale. */
const OPERATOR_DB = -22;
const CASES = ([undefined, 15] as const).flatMap((snr) =>
  [10, 25].flatMap((below) =>
    [20, 60, 120, 250].map((delay) => ({
      name: `echo ${below} dB below and ${delay} ms late, ${snr === undefined ? 'quiet' : `diesel ${snr} dB below`}`,
      echo: { levelDb: OPERATOR_DB - below, delay },
      noise: { floorDb: -55, seed: delay + below, ...(snr === undefined ? {} : { dieselSnrDb: snr }) },
    })),
  ),
);
const host = await nodeHost();
const all = { answers: 0, heard: 0, unclear: 0, taken: 0, starts: 0 };
for (const [nth, { name, echo, noise }] of CASES.entries()) {
  if (!name.includes(values.only)) continue;
  const seed = Number(values.seed) + nth;
  const random = randomFrom(seed);
  const phrases = drawnAnswers(
    fullCabCheck as unknown as Plan,
    Math.ceil(Number(values.answers) / CASES.length),
    random,
  );
  const { answers, heard, starts, seconds } = await hearOwn(host, phrases, {
    noise,
    echo: { ...echo, seed },
    listen: !values.mute,
  });
  const unclear = heard.filter(({ who }) => who === 'unclear').length;
  const taken = heard.filter(({ who }) => who === 'operator');
  console.log(
    `own words: ${name}: ${answers} answers in ${seconds.toFixed(0)} s; heard ${heard.length} times, ${unclear} unclear, ` +
      `${taken.length} taken for the operator's; cut off by itself ${starts} times`,
  );
  for (const { said, words, parts, who } of heard)
    if (who !== 'own') console.log(`  ${who} "${words}" of "${said.join(' | ')}" ${JSON.stringify(parts)}`);
  all.answers += answers;
  all.heard += heard.length;
  all.unclear += unclear;
  all.taken += taken.length;
  all.starts += starts;
}
console.log(`own words: all: ${JSON.stringify(all)} (wanted: 0 taken in 1,000 answers)`);
await host.close();
process.exit(all.taken > 0 ? 1 : 0);
