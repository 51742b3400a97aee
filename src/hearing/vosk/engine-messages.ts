import type {
  ClientMessage,
  ClientMessageCreateRecognizer,
  ServerMessage,
  ServerMessagePartialResult,
  ServerMessageResult,
} from 'vosk-browser/dist/vosk.interfaces';

/** The address under which the engine inside the worker asks for its archive: never a network address. */
export const ARCHIVE_URL = 'https://two-needles.invalid/model.tar.gz';

/** Hands the archive to the worker; must come before `load`. */
interface ArchiveMessage {
  readonly action: 'archive';
  readonly archive: Blob;
}

/** Asks for a sign of life. */
interface PingMessage {
  readonly action: 'ping';
}

/** Asks for a recogniser: `grammar` is the list of phrases. */
export interface CreateMessage extends ClientMessageCreateRecognizer {
  /** JSGF whose whole sentences it keeps to, where the model allows it. */
  readonly sentences?: string;
  /** One sentence after another. */
  readonly running?: boolean;
}

/** How many bytes of the archive the engine has taken in. */
interface ArchiveProgress {
  readonly event: 'archive';
  readonly read: number;
  readonly total: number;
}

/** One word as the engine reports it; times in seconds from the first sample of the utterance. */
export interface VoskWord {
  readonly word: string;
  readonly start: number;
  readonly end: number;
  readonly conf: number;
}

/** The engine leaves the list out when it heard nothing; the package's own type does not say so. */
interface ResultMessage {
  readonly event: 'result';
  readonly recognizerId: string;
  readonly result: { readonly result?: readonly VoskWord[]; readonly text: string };
}

/** What is heard so far. */
interface PartialMessage {
  readonly event: 'partialresult';
  readonly recognizerId: string;
  readonly result: { readonly partial: string };
}

export type ToWorker = ClientMessage | CreateMessage | ArchiveMessage | PingMessage;
/** `undefined` is the engine's receipt for a message that has no result. */
export type FromWorker =
  | Exclude<ServerMessage, ServerMessageResult | ServerMessagePartialResult>
  | ResultMessage
  | PartialMessage
  | ArchiveProgress
  | { readonly event: 'alive' }
  | undefined;

export function isArchiveMessage(message: unknown): message is ArchiveMessage {
  return actionOf(message) === 'archive';
}

export function isPingMessage(message: unknown): message is PingMessage {
  return actionOf(message) === 'ping';
}

function actionOf(message: unknown): unknown {
  return typeof message === 'object' && message !== null && 'action' in message ? message.action : undefined;
}

/** What a worker tells its owner. */
interface WorkerHooks {
  message(message: FromWorker): void;
  /** The worker is gone and will answer nothing more. Not every browser says so: see the watchdog in `worker-session.ts`. */
  death(reason: string): void;
}

/** The engine's worker, in a browser or in Node. */
export interface VoskWorker {
  /** Address of the engine's wasm file, as the worker can fetch it. */
  readonly wasmUrl: string;
  post(message: ToWorker, transfer?: Transferable[]): void;
  terminate(): void;
}

export type OpenVoskWorker = (hooks: WorkerHooks) => VoskWorker;
