/** Stands in for the `blob-polyfill` package: see the alias in `vite.config.ts`. */
export const Blob = globalThis.Blob;
