import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { fixedPhrases } from '../answering/wording-phrases.ts';
import { builtInPlans } from '../check/built-in-plans.ts';
import { PRONUNCIATIONS } from '../grammar/pronunciations.ts';
import { cueIds } from '../grammar/select.ts';
import { neededWords } from '../hearing/models/inspect.ts';
import { MANIFEST_NAME } from '../hearing/embedded/manifest.ts';
import { problemLine, type Outcome } from '../units/outcome.ts';
import { writeDemo } from './assets/assets-demo.ts';
import { writeCard } from './assets/assets-guide.ts';
import { writeModel } from './assets/assets-model.ts';
import { writeOperatorClips, writeSynthesiser, writeVoiceClips, type WrittenAsset } from './assets/assets-voice.ts';
import { cachedFlite } from './assets/cached-flite.ts';
import { writeOwnModel } from './model/own-model.ts';
import { grammarWords, loadGrammar } from './shared/read-inputs.ts';
import { adoptArchives } from './model/served-folder.ts';

/** Makes what the app serves and the repository does not keep, into `public/`. Quick when nothing has changed. */
const PUBLIC = fileURLToPath(new URL('../../public/', import.meta.url));
const MANIFEST = `${PUBLIC}models/embedded/${MANIFEST_NAME}`;

async function main(): Promise<number> {
  const grammar = await loadGrammar();
  if (!grammar.ok) return refuse(grammar);
  const began = performance.now();
  const before = await readFile(MANIFEST, 'utf8').catch(() => '');
  const model = await writeModel(`${PUBLIC}models/embedded`, {
    words: grammarWords(grammar.value),
    pronunciations: PRONUNCIATIONS,
  });
  if (!model.ok) return refuse(model);
  const bytes = model.value.files.reduce((sum, file) => sum + file.bytes, 0);
  const changed = (await readFile(MANIFEST, 'utf8')) !== before;
  tell('models/embedded', { changed, note: `${model.value.name}, ${(bytes / 1e6).toFixed(1)} MB` }, began);

  const own = await writeOwnModel(`${PUBLIC}models/own`, grammar.value);
  if (!own.ok) return refuse(own);
  tell('models/own', own.value, began);

  // Models that a station put there by hand; a broken one is named and not offered.
  for (const problem of await adoptArchives(`${PUBLIC}models`, neededWords(grammar.value))) {
    console.error(`assets: ${problemLine(problem)}`);
  }

  const flite = cachedFlite();
  await make('voice clips', () =>
    writeVoiceClips(`${PUBLIC}voice`, fixedPhrases(builtInPlans(new Set(cueIds(grammar.value)))), flite),
  );
  const [plan] = builtInPlans(new Set(cueIds(grammar.value)));
  if (plan !== undefined) await make('card', () => writeCard(`${PUBLIC}guide`, grammar.value, plan));
  await make('demo operator', () => writeOperatorClips(`${PUBLIC}voice`, flite));
  await make('voice synthesiser', () => writeSynthesiser(`${PUBLIC}voice`));
  await make('demo', () => writeDemo(`${PUBLIC}demo`, flite));
  return 0;
}

async function make(name: string, write: () => Promise<WrittenAsset>): Promise<void> {
  const began = performance.now();
  tell(name, await write(), began);
}

function tell(name: string, { changed, note }: WrittenAsset, began: number): void {
  const seconds = ((performance.now() - began) / 1000).toFixed(1);
  console.log(`${name.padEnd(18)} ${changed ? 'written   ' : 'up to date'} ${note} (${seconds} s)`);
}

function refuse(outcome: Extract<Outcome<unknown>, { ok: false }>): number {
  console.error(`assets: ${problemLine(outcome.problem)}`);
  return 2;
}

process.exitCode = await main();
