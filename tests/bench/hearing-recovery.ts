import { compile } from '../../src/grammar/compile.ts';
import type { Ruleset } from '../../src/grammar/ruleset.ts';
import { createHearing } from '../../src/hearing/hearing.ts';
import type { Heard } from '../../src/hearing/port.ts';
import { createVoskRecogniser } from '../../src/hearing/vosk/vosk-recogniser.ts';
import { openVoskWorker } from '../../src/hearing/vosk/host/open-in-node.ts';
import type { VoskWorker } from '../../src/hearing/vosk/engine-messages.ts';
import type { WorkerHandle } from '../../src/hearing/worker/hearing-messages.ts';
import { spawnNodeWorker } from '../../src/hearing/worker/spawn-node.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';
import { buildTinyModel } from '../support/tiny-model/tiny-model.ts';
import { joined } from '../unit/hearing/signals.ts';
import { quiet, spoken } from '../unit/hearing/vosk/spoken.ts';
import { grammar } from './hearing-sets.ts';

/** What became of utterances whose worker was killed while it heard them. */
export interface Recovery {
  readonly killed: number;
  /** Heard after all, as said and once. */
  readonly heard: number;
  /** Ms from the kill to the result. */
  readonly took: readonly number[];
}

const KILLS = 5;
const TEXT = 'valve popped';
const EVENT: Ruleset = compile(grammar, ['event', 'valve-popped'], 'psi');

/** On the tiny model: with a larger one, its loading comes on top. */
export async function voskRecovery(): Promise<Recovery> {
  const archive = new Blob([(await buildTinyModel()) as Uint8Array<ArrayBuffer>]);
  let worker: VoskWorker | undefined;
  const engine = createVoskRecogniser({
    archive: () => Promise.resolve(archive),
    openWorker: (hooks) => (worker = openVoskWorker(hooks)),
  });
  await engine.load(() => undefined);
  await engine.setGrammar(EVENT);
  const sound = await said();
  const recovery = await repeated(async () => {
    const result = engine.recognise(sound, 0);
    // Handed over, and not yet answered.
    await Promise.resolve();
    const begin = performance.now();
    worker?.terminate();
    return { texts: [(await result).text], took: performance.now() - begin };
  });
  await engine.close();
  return recovery;
}

/** `model` is the folder of the embedded model. */
export async function embeddedRecovery(model: string): Promise<Recovery> {
  const sound = await said();
  return repeated(async () => {
    let worker: WorkerHandle | undefined;
    const heard: Heard[] = [];
    const hearing = createHearing(
      { spawn: () => (worker = spawnNodeWorker()), model, live: false },
      {
        heard: (each) => void heard.push(each),
        clock: () => undefined,
        problem: () => undefined,
      },
    );
    hearing.listenFor(EVENT);
    await hearing.ready;
    const fed = [hearing.feed(sound, SAMPLE_RATE), hearing.flush()];
    const begin = performance.now();
    worker?.terminate();
    await Promise.all(fed);
    const took = performance.now() - begin;
    await hearing.close();
    return { texts: heard.map(({ text }) => text), took };
  });
}

async function said(): Promise<Float32Array> {
  return joined(quiet(1), await spoken(TEXT), quiet(1));
}

async function repeated(
  kill: () => Promise<{ readonly texts: readonly string[]; readonly took: number }>,
): Promise<Recovery> {
  const took: number[] = [];
  let heard = 0;
  for (let n = 0; n < KILLS; n += 1) {
    const result = await kill();
    took.push(result.took);
    if (result.texts.length === 1 && result.texts[0] === TEXT) heard += 1;
  }
  return { killed: KILLS, heard, took };
}
