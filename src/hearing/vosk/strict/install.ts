import { RecognizerWorker } from 'vosk-browser/dist/vosk.worker.js';
import { ARCHIVE_URL } from '../engine-messages.ts';
import type { CreateMessage, ToWorker } from '../engine-messages.ts';
import type { EngineModule, EngineObject } from './carrier.ts';
import { strictGrammars } from './strict-grammars.ts';
import type { StrictGrammars } from './strict-grammars.ts';

/*
 * Runs in the worker after the engine's own script, whose class it changes: recognisers are made for whole sentences where the
 * model allows it, and for the phrase list otherwise.
 */

interface Kept {
  readonly id: string;
  readonly sampleRate: number;
  readonly grammar: string | undefined;
  readonly recognizer: EngineObject;
}

/** What that class is made of, as far as it matters here. */
interface EngineWorker {
  readonly module: EngineModule;
  readonly model: EngineObject;
  readonly recognizers: Map<string, Kept>;
  createRecognizer(message: CreateMessage): Promise<void>;
  removeRecognizer(id: string): Promise<unknown>;
  freeBuffer(of: Kept): void;
  handleMessage(event: MessageEvent<ToWorker>): void;
}

/** Where the engine unpacks the archive: its own rule. */
const FOLDER = `/vosk/${ARCHIVE_URL.replace(/\W/g, '_')}`;

const engine = RecognizerWorker.prototype as EngineWorker;
// Bound when it is called, to the one worker that there is.
// oxlint-disable-next-line typescript/unbound-method
const byPhrases = engine.createRecognizer;
// oxlint-disable-next-line typescript/unbound-method
const handle = engine.handleMessage;

engine.handleMessage = function (event) {
  // The engine writes out what it is sent for a log that nobody reads: every sample of the sound, too, if it were let.
  if (event.data.action === 'audioChunk') Object.assign(event.data.data, { toJSON: () => 'sound' });
  handle.call(this, event);
};

engine.removeRecognizer = function (id) {
  // The engine would work out once more what it heard, though whoever lets go of a recogniser has asked for that, or does not want it.
  const kept = this.recognizers.get(id);
  if (kept === undefined) return Promise.reject(new Error(`there is no recogniser ${id}`));
  this.freeBuffer(kept);
  kept.recognizer.delete();
  this.recognizers.delete(id);
  return Promise.resolve({ event: 'result', recognizerId: id, result: { text: '' } });
};

let found: { readonly strict: StrictGrammars | undefined } | undefined;

engine.createRecognizer = function (message) {
  const { recognizerId: id, sampleRate, sentences, running, grammar } = message;
  if (sentences === undefined) return byPhrases.call(this, message);
  found ??= { strict: strictGrammars(this.module, this.model, FOLDER) };
  const recognizer = found.strict?.recogniser(sentences, sampleRate, running === true);
  if (recognizer === undefined) return byPhrases.call(this, message);
  this.recognizers.set(id, { id, recognizer, sampleRate, grammar });
  return Promise.resolve();
};
