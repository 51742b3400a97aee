import { createFlite, TOOL_VOICE, type Flite, type Speech } from './flite.ts';

export interface FliteRequest {
  readonly id: number;
  readonly phrase: string;
  /** Address of the synthesiser's wasm. */
  readonly wasm: string;
}

/** Without `speech` the phrase could not be spoken. */
export interface FliteReply {
  readonly id: number;
  readonly speech?: Speech;
}

let flite: Promise<Flite> | undefined;

async function load(address: string): Promise<Flite> {
  const response = await fetch(address);
  if (!response.ok) throw new Error(`${address}: ${response.status}`);
  return createFlite(await response.arrayBuffer());
}

self.onmessage = async (event: MessageEvent<FliteRequest>): Promise<void> => {
  const { id, phrase, wasm } = event.data;
  flite ??= load(wasm);
  let reply: FliteReply;
  try {
    reply = { id, speech: await (await flite).speak(phrase, TOOL_VOICE) };
  } catch {
    // Not loaded (no network yet): the next phrase tries again.
    flite = undefined;
    reply = { id };
  }
  self.postMessage(reply);
};
