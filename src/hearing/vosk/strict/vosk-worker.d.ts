/** The engine's worker script, for which the package has no types; `install.ts` knows what it is made of. */
declare module 'vosk-browser/dist/vosk.worker.js' {
  export const RecognizerWorker: { readonly prototype: object };
}
